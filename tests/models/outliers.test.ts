import { describe, expect, it } from 'vitest';
import type { FinishedJob } from '../../src/domain/record.ts';
import { type Estimate, estimateJob } from '../../src/models/estimate.ts';
import { simulateShop } from '../support/simulate/shop.ts';
import { context, fitOf, seats } from './shop-under-test.ts';

const now = new Date('2026-01-05T00:00:00Z');
const nJobs = 100;
const job = seats({}, { technician: 'tech-1', extractor: 'standard-1' });
const cases = (['lumps', 'strips'] as const).flatMap((kind) => [1, 2, 3].map((seed) => [kind, seed] as const));

/** The estimate from a shop's records, and from the same with one of the technician's jobs mistyped. */
function beforeAndAfter(
  kind: 'lumps' | 'strips',
  seed: number,
  mistyped: (record: FinishedJob) => FinishedJob,
): readonly [Estimate, Estimate] {
  const { records, technicians, machines } = simulateShop(kind, seed, nJobs);
  const lists = { technicians, machines };
  const estimate = (all: readonly FinishedJob[]) =>
    estimateJob(fitOf(all, { ...lists, now }), job, { ...context, ...lists, now });
  const one = records.findIndex(
    ({ labour, sprayedLitres }) =>
      labour.some(({ technician }) => technician === 'tech-1') && sprayedLitres !== undefined,
  );
  expect(one).toBeGreaterThanOrEqual(0);
  return [estimate(records), estimate(records.map((record, i) => (i === one ? mistyped(record) : record)))];
}

const minutesTimes = (factor: number) => (record: FinishedJob) => ({
  ...record,
  labour: record.labour.map((one) => ({ ...one, minutes: one.minutes * factor })),
});

describe('one absurd record among a hundred', () => {
  // A mean of log hours would move by log 60 / 100 = 4 %, and that of the technician's own twenty or so jobs by 20 %.
  it.each(cases)('with hours typed as minutes or the reverse moves a quote by less than 2 %% (%s %i)', (kind, seed) => {
    for (const factor of [60, 1 / 60]) {
      const [before, after] = beforeAndAfter(kind, seed, minutesTimes(factor));
      expect(Math.abs(after.quote.hours / before.quote.hours - 1)).toBeLessThan(0.02);
      expect(Math.abs(after.labourHours.p50 / before.labourHours.p50 - 1)).toBeLessThan(0.02);
    }
  });

  it.each(cases)(
    'with ten times the litres moves no quote at all, and water and drying by less than 5 %% (%s %i)',
    (kind, seed) => {
      const tenfold = (litres: number | undefined) => (litres === undefined ? undefined : 10 * litres);
      const [before, after] = beforeAndAfter(kind, seed, (record) => ({
        ...record,
        sprayedLitres: tenfold(record.sprayedLitres),
        recoveredLitres: tenfold(record.recoveredLitres),
      }));
      expect(Math.abs(after.waterLPerM2.p50 / before.waterLPerM2.p50 - 1)).toBeLessThan(0.05);
      expect(Math.abs(after.dryHours.p90 / before.dryHours.p90 - 1)).toBeLessThan(0.05);
      expect(after.quote).toEqual(before.quote);
    },
  );
});
