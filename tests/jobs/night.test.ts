import { describe, expect, it } from 'vitest';
import { latestNight } from '../../jobs/night.ts';

const at = (iso: string, zone: string) => latestNight(new Date(iso), zone, '02:30');

describe('contract: a shop’s night falls due by its own clock', () => {
  it('is yesterday’s until the clock of the shop shows 02:30', () => {
    expect(at('2026-07-01T01:29:00Z', 'Europe/London')).toBe('2026-06-30');
    expect(at('2026-07-01T01:30:00Z', 'Europe/London')).toBe('2026-07-01');
  });

  it('differs between shops at one instant', () => {
    expect(at('2026-01-15T12:00:00Z', 'Pacific/Auckland')).toBe('2026-01-15');
    expect(at('2026-01-15T12:00:00Z', 'America/Los_Angeles')).toBe('2026-01-15');
    expect(at('2026-01-15T10:00:00Z', 'America/Los_Angeles')).toBe('2026-01-14');
  });

  it('falls due once where the clock skips 02:30 and where it repeats it', () => {
    const everyTenMinutes = (from: string, hours: number) =>
      Array.from({ length: hours * 6 }, (_, i) =>
        at(new Date(Date.parse(from) + i * 600_000).toISOString(), 'Europe/Berlin'),
      );
    const changes = (nights: string[]) => nights.filter((night, i) => i > 0 && night !== nights[i - 1]);
    expect(changes(everyTenMinutes('2026-03-28T22:00:00Z', 6))).toEqual(['2026-03-29']);
    expect(new Set(everyTenMinutes('2026-10-24T22:00:00Z', 10))).toEqual(new Set(['2026-10-24', '2026-10-25']));
  });
});
