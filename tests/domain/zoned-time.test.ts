import { describe, expect, it } from 'vitest';
import { instantOfClock, zonedDay, zonedMinute } from '../../src/domain/zoned-time.ts';

const at = (local: string, zone = 'Europe/London') => instantOfClock(local, zone)?.toISOString();

describe('contract: the instant of a clock in a town', () => {
  it('reads winter and summer time', () => {
    expect(at('2026-01-05T09:30')).toBe('2026-01-05T09:30:00.000Z');
    expect(at('2026-07-01T13:00')).toBe('2026-07-01T12:00:00.000Z');
    expect(at('2026-07-01T13:00', 'America/Chicago')).toBe('2026-07-01T18:00:00.000Z');
    expect(at('2026-07-01T00:15', 'Asia/Kathmandu')).toBe('2026-06-30T18:30:00.000Z');
  });

  it('reads the hours about a change of the clocks', () => {
    expect(at('2026-03-29T00:59')).toBe('2026-03-29T00:59:00.000Z');
    expect(at('2026-03-29T01:30')).toBe('2026-03-29T01:30:00.000Z'); // skipped: the clock says 02:30 then
    expect(at('2026-03-29T02:00')).toBe('2026-03-29T01:00:00.000Z');
    expect(at('2026-10-25T03:00')).toBe('2026-10-25T03:00:00.000Z');
  });

  it('reads an hour that comes twice as the first of the two, east and west of Greenwich', () => {
    expect(at('2026-10-25T01:30')).toBe('2026-10-25T00:30:00.000Z');
    expect(at('2026-10-25T02:30', 'Europe/Paris')).toBe('2026-10-25T00:30:00.000Z');
    expect(at('2026-11-01T01:30', 'America/Chicago')).toBe('2026-11-01T06:30:00.000Z');
    expect(at('2026-04-05T02:30', 'Australia/Sydney')).toBe('2026-04-04T15:30:00.000Z');
    expect(at('2026-04-05T01:45', 'Australia/Lord_Howe')).toBe('2026-04-04T14:45:00.000Z'); // half an hour twice
  });

  it('reads a skipped hour as the one after it, east and west of Greenwich', () => {
    expect(at('2026-03-29T02:30', 'Europe/Paris')).toBe('2026-03-29T01:30:00.000Z');
    expect(at('2026-03-08T02:30', 'America/Chicago')).toBe('2026-03-08T08:30:00.000Z');
    expect(at('2026-10-04T02:30', 'Australia/Sydney')).toBe('2026-10-03T16:30:00.000Z');
  });

  it('comes back as it was for every hour of a year that a clock shows once', () => {
    for (const zone of ['America/New_York', 'Pacific/Apia', 'Pacific/Kiritimati', 'Pacific/Pago_Pago'])
      for (let t = Date.UTC(2011, 11, 1); t < Date.UTC(2013, 0, 1); t += 3_600_000) {
        const shown = zonedMinute(new Date(t), zone).slice(0, 16);
        const again = instantOfClock(shown, zone);
        expect(again && zonedMinute(again, zone).slice(0, 16)).toBe(shown);
      }
  });

  it('gives nothing for what is no date and time', () => {
    for (const text of ['', 'tomorrow', '2026-13-01T10:00', '2026-01-01', '2026-01-01T25:00'])
      expect(at(text), text).toBeUndefined();
  });

  it('gives nothing for a year that was mistyped', () => {
    for (const text of ['0025-03-05T10:00', '0000-01-01T00:00', '9999-12-31T23:59'])
      expect(at(text, 'Pacific/Auckland'), text).toBeUndefined();
  });
});

describe('contract: the day of an instant', () => {
  it('lasts until midnight, to the second', () => {
    expect(zonedDay(new Date('2026-07-01T22:59:45Z'), 'Europe/London')).toBe('2026-07-01');
    expect(zonedDay(new Date('2026-07-01T23:00:00Z'), 'Europe/London')).toBe('2026-07-02');
  });
});
