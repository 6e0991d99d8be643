import { describe, expect, it } from 'vitest';
import type { FinishedJob } from '../../src/domain/record.ts';
import { dryAloneTimes, isDryAlone } from '../../src/models/dry-alone.ts';
import { simulateShop } from '../support/simulate/shop.ts';

const day = (k: number) => new Date(Date.UTC(2026, 0, 1 + k, 15)).toISOString();
const [any] = simulateShop('lumps', 5, 1).records;

function job(k: number, technician: string, isWetNoted: boolean): FinishedJob {
  const dry = { hours: 6, dry: true };
  const checks = isWetNoted ? [{ hours: 3, dry: false }, dry] : [dry];
  return { ...any, ref: `D-${k}`, finishedAt: day(k), labour: [{ technician, minutes: 90 }], drying: { checks } };
}

describe('contract: whose looks that found it wet are not noted, and when', () => {
  it('is told by person', () => {
    const jobs = Array.from({ length: 40 }, (_, k) => job(k, k % 2 ? 'ada' : 'ben', k % 2 === 0));
    expect(dryAloneTimes(jobs)).toEqual([{ technician: 'ada', from: day(1), until: null }]);
    expect(jobs.filter((one) => isDryAlone(dryAloneTimes(jobs), one))).toHaveLength(20);
  });

  it('ends where wet looks begin to be noted, as after old sheets were taken in', () => {
    const jobs = Array.from({ length: 40 }, (_, k) => job(k, 'ada', k >= 25));
    const [time, ...more] = dryAloneTimes(jobs.toReversed());
    expect(more).toEqual([]);
    expect(time).toEqual({ technician: 'ada', from: day(0), until: day(26) }); // the one wet look of the last ten is not five of ten
    expect(isDryAlone([time], job(10, 'ada', false))).toBe(true);
    expect(isDryAlone([time], job(10, 'ben', false))).toBe(false);
    expect(isDryAlone([time], job(30, 'ada', false))).toBe(false);
  });

  it('is that of the shop for whoever has done few jobs', () => {
    const jobs = Array.from({ length: 12 }, (_, k) => job(k, `t${k % 3}`, false));
    expect(dryAloneTimes(jobs)).toHaveLength(3);
    expect(dryAloneTimes(jobs.map((one, k) => (k % 4 ? one : job(k, `t${k % 3}`, true))))).toEqual([]);
  });

  it('is nobody’s where one in five has one noted, nor before anything was checked', () => {
    expect(dryAloneTimes(Array.from({ length: 60 }, (_, k) => job(k, 'ada', k % 5 === 0)))).toEqual([]);
    expect(dryAloneTimes([{ ...any, drying: { checks: [] } }])).toEqual([]);
  });
});
