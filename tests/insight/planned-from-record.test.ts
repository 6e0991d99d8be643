import { describe, expect, it } from 'vitest';
import { plannedFromRecord } from '../../src/insight/planned-from-record.ts';
import { done } from '../models/shop-under-test.ts';

describe('contract: a finished job as it stood before the work', () => {
  const beganAt = (finishedAt: string, minutes: readonly number[]) =>
    plannedFromRecord(
      done('a', {}, { finishedAt, labour: minutes.map((one, i) => ({ technician: `t${i}`, minutes: one })) }),
    ).startAt;

  it('began its minutes before it ended, two people sharing them', () => {
    expect(beganAt('2026-03-14T16:00:00+01:00', [90])).toBe('2026-03-14T13:30:00.000Z');
    expect(beganAt('2026-03-14T16:00:00Z', [100, 140])).toBe('2026-03-14T14:00:00.000Z');
    expect(beganAt('2026-03-14T00:30:00Z', [120, 0])).toBe('2026-03-13T22:30:00.000Z');
  });

  it('began in 2000 at the earliest, as a plan may: a record of its first hours is forecast like any other', () => {
    expect(beganAt('2000-01-01T00:30:00Z', [120])).toBe('2000-01-01T00:00:00.000Z');
    expect(beganAt('2000-01-01T00:30:00+02:00', [120])).toBe('2000-01-01T00:00:00.000Z');
  });
});
