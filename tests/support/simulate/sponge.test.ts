import { describe, expect, it } from 'vitest';
import { checkPlanned } from '../../../src/domain/planned-rules.ts';
import { checkRecord } from '../../../src/domain/record-rules.ts';
import { oracleRanks } from './oracle-ranks.ts';
import { hoursToEvaporate } from './sponge-air.ts';
import { simulateSponge } from './sponge-shop.ts';
import type { Outcome } from './types.ts';

describe('the simulated shop of sponge', () => {
  const shop = simulateSponge(1, 400);
  const context = {
    now: new Date('2026-03-01'),
    technicians: new Set(shop.technicians.map(({ key }) => key)),
    machines: new Set(shop.machines.map(({ key }) => key)),
  };

  it('writes records and plans that the contract takes without a doubt, the same for the same seed', () => {
    for (const record of shop.records)
      expect(checkRecord(JSON.parse(JSON.stringify(record)), context)).toMatchObject({ ok: true, doubts: [] });
    for (let i = 0; i < 28; i += 1) expect(checkPlanned(shop.plan(i).planned, context).ok).toBe(true);
    expect(simulateSponge(1, 400).records).toEqual(shop.records);
    expect(simulateSponge(2, 5).records).not.toEqual(simulateSponge(1, 5).records);
  });

  it('has an oracle that its own outcomes follow: ranks of hours, water and drying among draws are flat', () => {
    for (const value of [hours, water, drying]) expect(oracleRanks(shop, value)).toBeLessThan(18.5);
  });

  it('keeps what it puts down and gets back in balance, and looks truly at what dries', () => {
    shop.outcomes.forEach((outcome, i) => {
      expect(outcome.sprayedLitres - outcome.recoveredLitres).toBeCloseTo(outcome.extractedLeftLitres, 9);
      expect(outcome.recoveredLitres).toBeGreaterThanOrEqual(0);
      for (const { hours: at, dry } of shop.records[i].drying?.checks ?? [])
        expect(outcome.dryingHours <= at).toBe(dry);
    });
  });

  it('lies where the trade says: two passes most often, three to four hours for the seats of a sedan taken out', () => {
    const shops = Array.from({ length: 20 }, (_, i) => simulateSponge(50 + i, 200));
    const passes = shops.flatMap(({ outcomes }) =>
      outcomes.flatMap(({ sections }) => sections.map(({ made }) => made)),
    );
    const times = (n: number) => passes.filter((made) => made === n).length;
    for (const other of [1, 3, 4, 5]) expect(times(2)).toBeGreaterThan(times(other));
    const seatsOut = shops.flatMap(({ records, outcomes }) =>
      outcomes.filter((_, i) => {
        const { bodyStyle, seatsRemoved, sections } = records[i];
        const areas = sections.map(({ area }) => area).join();
        return bodyStyle === 'sedan' && seatsRemoved && areas === 'front-seat,rear-bench';
      }),
    );
    const middle = seatsOut.map(hours).sort((a, b) => a - b)[Math.floor(seatsOut.length / 2)];
    expect(middle).toBeGreaterThan(3);
    expect(middle).toBeLessThan(4);
  });

  it('has a person who leaves 1.35 times the water in, where asked for, and nothing else changed', () => {
    const plain = simulateSponge(4, 200, { wetSpread: 0, overWet: { technician: 1, factor: 1 } });
    const wet = simulateSponge(4, 200, { wetSpread: 0, overWet: { technician: 1, factor: 1.35 } });
    plain.outcomes.forEach((outcome, i) => {
      const ratio = wet.outcomes[i].wettestPerM2 / outcome.wettestPerM2;
      expect(ratio).toBeCloseTo(plain.records[i].labour[0].technician === 'tech-2' ? 1.35 : 1, 9);
      expect(wet.outcomes[i].hours).toBe(outcome.hours);
    });
  });

  it('dries by day and night at their own rates', () => {
    const rates = { open: 0.1, shut: 0.02 };
    expect(hoursToEvaporate(0.1, 10, rates)).toBeCloseTo(1, 9);
    // two hours until closing, fourteen shut ones, and what is left after eight in the morning
    expect(hoursToEvaporate(0.2 + 0.28 + 0.05, 24 + 16, rates)).toBeCloseTo(2 + 14 + 0.5, 9);
  });
});

const hours = (outcome: Outcome) => outcome.hours;
const water = (outcome: Outcome) => outcome.wettestPerM2;
const drying = (outcome: Outcome) => outcome.dryingHours;
