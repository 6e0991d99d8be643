import { describe, expect, it } from 'vitest';
import { createRandom } from '../../../seed/random.ts';
import { finishedJob } from '../../../src/domain/record.ts';
import { oracleRanks } from './oracle-ranks.ts';
import { simulateShop } from './shop.ts';
import { simulateSponge } from './sponge-shop.ts';
import type { MechanismKind, Outcome, SimulatedShop } from './types.ts';

const kinds: MechanismKind[] = ['lumps', 'strips'];

describe.each(kinds)('the simulated shop of %s', (kind) => {
  const shop = simulateShop(kind, 1, 400);

  it('writes records that the contract takes, the same for the same seed', () => {
    for (const record of shop.records) expect(finishedJob.parse(record)).toEqual(record);
    expect(simulateShop(kind, 1, 400).records).toEqual(shop.records);
    expect(simulateShop(kind, 2, 5).records).not.toEqual(simulateShop(kind, 1, 5).records);
  });

  it('has an oracle that its own outcomes follow: ranks of hours, water and drying among draws are flat', () => {
    for (const value of [hours, water, drying]) expect(oracleRanks(shop, value)).toBeLessThan(18.5);
  });

  it('has noise like that of the rules of thumb, given the job', () => {
    const spread = (value: (outcome: Outcome) => number) =>
      mean(Array.from({ length: 20 }, (_, i) => logSpread(draws(shop, i, 200).map(value))));
    expect(spread(hours)).toBeGreaterThan(0.08);
    expect(spread(hours)).toBeLessThan(0.18);
    expect(spread(water)).toBeGreaterThan(0.17);
    expect(spread(water)).toBeLessThan(0.3);
    expect(spread(drying)).toBeGreaterThan(0.22);
    expect(spread(drying)).toBeLessThan(0.4);
  });

  it('needs more passes for more soil, and water, hours and drying grow with passes', () => {
    const bySoil = ['light', 'moderate', 'heavy', 'severe'].map((soil) =>
      mean(
        shop.records.flatMap((job, i) =>
          job.sections.flatMap((s, j) => (s.soil === soil ? [shop.outcomes[i].sections[j].needed] : [])),
        ),
      ),
    );
    expect(bySoil).toEqual([...bySoil].sort((a, b) => a - b));
    const many = shop.outcomes.filter(({ sections }) => mean(sections.map(({ made }) => made)) >= 2.5);
    const few = shop.outcomes.filter(({ sections }) => mean(sections.map(({ made }) => made)) < 2);
    for (const value of [hours, water, drying]) expect(mean(many.map(value))).toBeGreaterThan(mean(few.map(value)));
  });

  it('has a person who leaves 1.35 times the water in, where asked for, and nothing else changed', () => {
    const options = { wetSpread: 0, measuredShare: 1 };
    const plain = simulateShop(kind, 4, 200, options);
    const wet = simulateShop(kind, 4, 200, { ...options, overWet: { technician: 1, factor: 1.35 } });
    plain.outcomes.forEach((outcome, i) => {
      const own = plain.records[i].labour[0].technician === 'tech-2';
      const ratio = wet.outcomes[i].wettestPerM2 / outcome.wettestPerM2;
      if (own) expect(Math.abs(ratio - 1.35)).toBeLessThan(0.13);
      else expect(ratio).toBe(1);
      expect(wet.outcomes[i].hours).toBe(outcome.hours);
    });
  });
});

describe('the papers of a simulated shop', () => {
  it.each([1, 0.5, 0.1] as const)('reads its tanks to %d litres, in the share of jobs asked for', (readingStep) => {
    const shop = simulateShop('lumps', 2, 300, { readingStep, measuredShare: 0.8 });
    const measured = shop.records.filter(({ sprayedLitres }) => sprayedLitres !== undefined);
    for (const { sprayedLitres = Number.NaN } of measured) {
      expect(Math.abs(sprayedLitres / readingStep - Math.round(sprayedLitres / readingStep))).toBeLessThan(1e-9);
    }
    expect(measured.length / shop.records.filter(({ extractor }) => extractor).length).toBeCloseTo(0.8, 1);
    const exact = shop.outcomes
      .filter((_, i) => shop.records[i].sprayedLitres !== undefined)
      .map((o) => o.extractedLeftLitres);
    const read = measured.map(({ sprayedLitres = 0, recoveredLitres = 0 }) => sprayedLitres - recoveredLitres);
    for (const [i, litres] of read.entries())
      expect(Math.abs(litres - exact[i])).toBeLessThanOrEqual(readingStep + 1e-9);
  });

  it('brackets the true drying time between its last wet look and its first dry one', () => {
    const shop = simulateShop('strips', 2, 300, { checkedShare: 1 });
    shop.records.forEach((job, i) => {
      for (const { hours: at, dry } of job.drying?.checks ?? []) expect(shop.outcomes[i].dryingHours <= at).toBe(dry);
    });
  });

  it('does a job over with another extractor, and with its own as it was', () => {
    const seed = 3;
    for (const once of [simulateShop('lumps', seed, 20), simulateShop('strips', seed, 20), simulateSponge(seed, 20)])
      once.records.forEach(({ extractor }, i) => {
        const chance = () => createRandom(seed, 3 * i + 11);
        const again = extractor === null ? undefined : once.outcomes[i];
        expect(once.withTool(i, extractor ?? 'any', chance())).toEqual(again);
        const other = once.machines.find(({ key }) => key !== extractor)?.key ?? 'none';
        if (extractor !== null) expect(once.withTool(i, other, chance())).not.toEqual(again);
      });
  });

  it('gives the better machine the dirtier vehicles, where asked for', () => {
    const share = (harderToBetter: boolean) => {
      const { records } = simulateShop('lumps', 2, 400, { harderToBetter });
      const dirty = records.filter(({ sections }) =>
        sections.some(({ soil }) => soil === 'heavy' || soil === 'severe'),
      );
      return dirty.filter(({ extractor }) => extractor === 'high-1').length / dirty.length;
    };
    expect(share(true)).toBeGreaterThan(share(false) + 0.2);
  });
});

const hours = (outcome: Outcome) => outcome.hours;
const water = (outcome: Outcome) => outcome.wettestPerM2;
const drying = (outcome: Outcome) => outcome.dryingHours;

function draws(shop: SimulatedShop, i: number, n: number): Outcome[] {
  const { draw } = shop.plan(i);
  const random = createRandom(7, i);
  return Array.from({ length: n }, () => draw(random));
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

function logSpread(values: readonly number[]): number {
  const logs = values.map(Math.log);
  const centre = mean(logs);
  return Math.sqrt(mean(logs.map((value) => (value - centre) ** 2)));
}
