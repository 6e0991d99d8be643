import { expect, it } from 'vitest';
import { checkPlanned } from '../../../src/domain/planned-rules.ts';
import { checkRecord } from '../../../src/domain/record-rules.ts';
import { oracleRanks } from './oracle-ranks.ts';
import type { Outcome, SimulatedShop } from './types.ts';

/**
 * What a shop must hold whose mechanism was written from the trade's description alone, for the test of that mechanism.
 * @param slips the share of its records that may be doubtful, where its people mistype
 */
export function holdsOfBlindShop(simulate: (seed: number, nJobs: number) => SimulatedShop, slips = 0): void {
  const shop = simulate(1, 400);
  const context = {
    now: new Date('2026-03-01'),
    technicians: new Set(shop.technicians.map(({ key }) => key)),
    machines: new Set(shop.machines.map(({ key }) => key)),
  };

  it('writes records and plans that the contract takes, without a doubt but for its slips, the same for the same seed', () => {
    const read = shop.records.map((record) => checkRecord(JSON.parse(JSON.stringify(record)), context));
    expect(read.filter(({ ok }) => !ok)).toEqual([]);
    const doubtful = read.filter((one) => one.ok && one.doubts.length > 0);
    expect(doubtful.length).toBeLessThanOrEqual(slips * shop.records.length);
    for (let i = 0; i < 28; i += 1) expect(checkPlanned(shop.plan(i).planned, context).ok).toBe(true);
    expect(simulate(1, 400).records).toEqual(shop.records);
    expect(simulate(2, 5).records).not.toEqual(simulate(1, 5).records);
  });

  it('has an oracle that its own outcomes follow: ranks of hours, water and drying among draws are flat', () => {
    const values: readonly ((outcome: Outcome) => number)[] = [
      ({ hours }) => hours,
      ({ wettestPerM2 }) => wettestPerM2,
      ({ dryingHours }) => dryingHours,
    ];
    for (const value of values) expect(oracleRanks(shop, value)).toBeLessThan(18.5);
  });

  it('lies where the trade says: two passes most often, three to four hours for the seats of a sedan taken out', () => {
    const shops = Array.from({ length: 20 }, (_, i) => simulate(50 + i, 200));
    const jobs = shops.flatMap(({ records, outcomes }) => records.map((record, i) => ({ record, ...outcomes[i] })));
    const passes = jobs.flatMap(({ record, sections }) =>
      sections.filter((_, s) => record.sections[s].method !== 'spot').map(({ made }) => made),
    );
    const times = (n: number) => passes.filter((made) => made === n).length;
    for (const other of [1, 3, 4, 5]) expect(times(2)).toBeGreaterThan(times(other));
    const seatsOut = jobs.filter(({ record: { bodyStyle, seatsRemoved, sections } }) => {
      const areas = sections.map(({ area }) => area).join();
      return bodyStyle === 'sedan' && seatsRemoved && areas === 'front-seat,rear-bench';
    });
    const hours = seatsOut.map((job) => job.hours).sort((a, b) => a - b);
    const middle = hours[Math.floor(hours.length / 2)];
    expect(middle).toBeGreaterThan(3);
    expect(middle).toBeLessThan(4);
  });
}
