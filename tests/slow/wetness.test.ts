import { beforeAll, describe, expect, it } from 'vitest';
import type { FinishedJob } from '../../src/domain/record.ts';
import { wetnessReport } from '../../src/insight/wetness/report.ts';
import { fitShop } from '../../src/models/fit.ts';
import { simulateShop } from '../support/simulate/shop.ts';
import type { SimulationOptions } from '../support/simulate/types.ts';

// 120 invented shops of five technicians, about 27 measured jobs each, by two mechanisms that are not the models.
const shops = (['lumps', 'strips'] as const).flatMap((kind) =>
  Array.from({ length: 60 }, (_, i) => ({ kind, seed: 101 + i })),
);
const alike = { wetSpread: 0, measuredShare: 0.75 };
const nJobs = 200;
const wet = { technician: 1, factor: 1.35 };
const suspect = 'tech-2';

interface Counts {
  found: number;
  falselyNamed: number;
  clean: number;
}

/** How often the suspect was named, and how often anybody else. */
function count(recordsOf: (kind: 'lumps' | 'strips', seed: number) => readonly FinishedJob[]): Counts {
  const counts = { found: 0, falselyNamed: 0, clean: 0 };
  for (const { kind, seed } of shops) {
    for (const { technician, overWet, change } of reportOf(kind, seed, recordsOf(kind, seed)).technicians) {
      const named = overWet || change !== null;
      if (technician === suspect) counts.found += named ? 1 : 0;
      else {
        counts.clean += 1;
        counts.falselyNamed += named ? 1 : 0;
      }
    }
  }
  return counts;
}

function reportOf(kind: 'lumps' | 'strips', seed: number, records: readonly FinishedJob[]) {
  const { technicians, machines } = simulateShop(kind, seed, 1, alike);
  const result = fitShop({ records, technicians, machines, now: new Date('2026-01-05') });
  if (result.status !== 'fitted') throw new Error(result.failures.map(({ message }) => message).join());
  return wetnessReport(result.fit, { records, technicians, machines }, new Date('2026-01-05'));
}

const simulated = (kind: 'lumps' | 'strips', seed: number, options: SimulationOptions) =>
  simulateShop(kind, seed, nJobs, { ...alike, ...options }).records;

describe('recovery: who leaves too much water in', () => {
  for (const readingStep of [0.1, 0.5] as const) {
    let counts: Counts;
    beforeAll(() => {
      counts = count((kind, seed) => simulated(kind, seed, { readingStep, overWet: wet }));
    });
    it(`finds someone at 1.35 in nine shops of ten with tanks read to ${readingStep} L`, () => {
      const { found } = counts;
      console.log(`read to ${readingStep} L: found ${found} of ${shops.length}`);
      expect(found / shops.length).toBeGreaterThanOrEqual(0.9);
    });

    it(`hardly ever names anyone else with tanks read to ${readingStep} L`, () => {
      const { falselyNamed, clean } = counts;
      console.log(`read to ${readingStep} L: ${falselyNamed} of ${clean} others named`);
      expect(falselyNamed / clean).toBeLessThanOrEqual(0.02);
    });
  }

  it('names hardly anyone where all do alike', () => {
    const { found, falselyNamed, clean } = count((kind, seed) => simulated(kind, seed, { readingStep: 0.5 }));
    console.log(`all alike: ${found + falselyNamed} of ${clean + shops.length} named`);
    expect((found + falselyNamed) / (clean + shops.length)).toBeLessThanOrEqual(0.02);
  });

  it('blames nobody for the machine: the suspect on the weakest extractor alone, which others use too', () => {
    const { found } = count((kind, seed) =>
      simulated(kind, seed, { readingStep: 0.1 }).filter(
        ({ extractor, labour }) =>
          extractor === null ||
          extractor.startsWith('entry') ||
          labour.every(({ technician }) => technician !== suspect),
      ),
    );
    console.log(`machine to blame: ${found} of ${shops.length} named`);
    expect(found / shops.length).toBeLessThanOrEqual(0.05);
  });

  it('dates a start in the last third: mostly found, and put near where it was', () => {
    let [found, dated] = [0, 0];
    for (const { kind, seed } of shops) {
      const before = simulated(kind, seed, { readingStep: 0.1 });
      const after = simulated(kind, seed, { readingStep: 0.1, overWet: { ...wet, factor: 1.6 } });
      const start = Math.floor((2 / 3) * nJobs);
      const records = before.map((record, i) => (i < start ? record : after[i]));
      const began = Date.parse(records[start].finishedAt);
      const last = Date.parse(records[nJobs - 1].finishedAt);
      const change = reportOf(kind, seed, records).technicians.find(({ technician }) => technician === suspect)?.change;
      if (!change) continue;
      found += 1;
      if (Math.abs(Date.parse(change.since) - began) < 0.5 * (last - began)) dated += 1;
    }
    console.log(`start in the last third at 1.6: found ${found} of ${shops.length}, ${dated} dated near it`);
    expect(found / shops.length).toBeGreaterThanOrEqual(0.6);
    expect(dated / found).toBeGreaterThanOrEqual(0.8);
  });
});
