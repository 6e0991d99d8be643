import { describe, expect, it } from 'vitest';
import type { PlannedJob } from '../../src/domain/planned.ts';
import type { FinishedJob } from '../../src/domain/record.ts';
import type { ShownFigures } from '../../src/models/estimate/drivers.ts';
import { plannedWork } from '../../src/models/estimate/planned-work.ts';
import { simulateJob } from '../../src/models/estimate/simulate-job.ts';
import { type OpenPiece, wouldNarrow } from '../../src/models/estimate/would-narrow.ts';
import { estimateJob } from '../../src/models/estimate.ts';
import { context, done, fitOf, seats } from './shop-under-test.ts';

/** Ann does three jobs of four and is quick and dry; ben does the rest, slowly and wet, with the high-grade extractor. */
const records: FinishedJob[] = Array.from({ length: 80 }, (_, i) => {
  const byBen = i % 4 === 3;
  const minutes = (byBen ? 290 : 190) + 5 * ((i * 7) % 11);
  return done(
    `n${i}`,
    { dryPasses: 1 },
    {
      labour: [{ technician: byBen ? 'ben' : 'ann', minutes }],
      extractor: byBen ? 'high-one' : 'standard-one',
      sprayedLitres: 6,
      recoveredLitres: (byBen ? 3 : 5) - 0.1 * ((i * 3) % 5),
      finishedAt: `2026-${String(1 + (i % 4)).padStart(2, '0')}-1${i % 9}T12:00:00Z`,
    },
  );
});
const fit = fitOf(records);
const nDraws = 8000;
const drawn = (job: PlannedJob, by = fit) => {
  const work = plannedWork(by, job, context);
  return { work, draws: simulateJob(by, work, nDraws) };
};
const told = (job: PlannedJob, piece: OpenPiece, figure: keyof ShownFigures, by = fit): number => {
  const { work, draws } = drawn(job, by);
  return wouldNarrow(work, draws, by).find((one) => one.piece === piece && one.figure === figure)?.share ?? 0;
};
const logs = (values: Float64Array) => [...values].map(Math.log);
const mean = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;
const variance = (values: readonly number[]) => mean(values.map((value) => (value - mean(values)) ** 2));
const bay = { aid: 'fan', airC: 20, rhPercent: 50 } as const;
const open = seats({}, { drying: bay });

describe('identity: what would narrow an estimate, against estimates made anew with each value', () => {
  it.each([
    ['labourHours', 'labourHours'],
    ['waterLPerM2', 'wettestLPerM2'],
    ['dryHours', 'dryHours'],
  ] as const)('who does it: %s', (figure, drawnAs) => {
    const all = variance(logs(drawn(open).draws[drawnAs]));
    const known = (technician: string) => variance(logs(drawn({ ...open, technician }).draws[drawnAs]));
    const expected = 1 - Math.sqrt((0.75 * known('ann') + 0.25 * known('ben')) / all);
    const share = told(open, 'technician', figure);
    expect(Math.abs(share - (expected < 0.03 ? 0 : expected)), `${share} against ${expected}`).toBeLessThan(0.02);
  });

  it('which extractor: water left in', () => {
    const plan = { ...seats({}, { drying: bay, technician: 'ann' }), extractor: null };
    const all = variance(logs(drawn(plan).draws.wettestLPerM2));
    const known = (extractor: string) => variance(logs(drawn({ ...plan, extractor }).draws.wettestLPerM2));
    const expected = 1 - Math.sqrt((0.75 * known('standard-one') + 0.25 * known('high-one')) / all);
    const share = told(plan, 'extractor', 'waterLPerM2');
    expect(Math.abs(share - (expected < 0.03 ? 0 : expected)), `${share} against ${expected}`).toBeLessThan(0.02);
  });

  // Humidities as they spread in the typical bay, 50 ± 12: five points of a Gauss–Hermite rule (Abramowitz & Stegun, table 25.10).
  const nodes = [0, 0.958572464613819, -0.958572464613819, 2.02018287045609, -2.02018287045609];
  const weights = [0.945308720482942, 0.393619323152241, 0.393619323152241, 0.0199532420590459, 0.0199532420590459];
  const rule = nodes.map((node, i) => ({ z: Math.SQRT2 * node, weight: weights[i] / Math.sqrt(Math.PI) }));

  const slowNights = { ...fit, nights: { ...fit.nights, logRate: Math.log(0.4) } };
  it.each([
    ['rhPercent', 50, 12, 'nights as days', fit, '08'],
    ['airC', 20, 4, 'nights as days', fit, '08'],
    ['rhPercent', 50, 12, 'slow nights, work from six', slowNights, '06'],
    ['rhPercent', 50, 12, 'slow nights, work from ten', slowNights, '10'],
    ['rhPercent', 50, 12, 'slow nights, work from two', slowNights, '14'],
    ['rhPercent', 50, 12, 'slow nights, work from ten in the evening', slowNights, '22'],
  ] as const)('%s while it dries, $3: hours until dry', (piece, middle, sd, _, by, hour) => {
    const startAt = `2026-05-01T${hour}:00:00Z`;
    const plan = seats({}, { technician: 'ann', startAt, drying: { ...bay, [piece]: undefined } });
    const at = (z: number) => {
      const drying = { ...bay, [piece]: middle + sd * z };
      return logs(drawn(seats({}, { technician: 'ann', startAt, drying }), by).draws.dryHours);
    };
    const ways = rule.map(({ z, weight }) => ({ weight, values: at(z) }));
    const middleOf = ways.reduce((sum, { weight, values }) => sum + weight * mean(values), 0);
    const within = ways.reduce((sum, { weight, values }) => sum + weight * variance(values), 0);
    const between = ways.reduce((sum, { weight, values }) => sum + weight * (mean(values) - middleOf) ** 2, 0);
    const expected = 1 - Math.sqrt(within / (within + between));
    const share = told(plan, piece, 'dryHours', by);
    expect(Math.abs(share - (expected < 0.03 ? 0 : expected)), `${share} against ${expected}`).toBeLessThan(0.02);
  });

  it.each([
    ['a summer’s night', 0.8],
    ['a cold and shut bay', 0.2],
  ])('when the work begins: hours until dry over %s', (_, rate) => {
    const workEnds = [10, 13, 16, 19];
    const by = { ...fit, nights: { ...fit.nights, logRate: Math.log(rate), workEnds } };
    const plan = seats({}, { technician: 'ann', drying: bay });
    const { p50 } = estimateJob(by, plan, context).labourHours;
    const ways = workEnds.map((end) => {
      const startAt = new Date(Date.UTC(2026, 4, 1) + 3_600_000 * (end - p50)).toISOString();
      return logs(drawn({ ...plan, startAt }, by).draws.dryHours);
    });
    const expected = 1 - Math.sqrt(mean(ways.map(variance)) / variance(ways.flat()));
    const share = told(plan, 'startAt', 'dryHours', by);
    expect(Math.abs(share - (expected < 0.03 ? 0 : expected)), `${share} against ${expected}`).toBeLessThan(0.02);
    expect(told({ ...plan, startAt: '2026-05-01T08:00:00Z' }, 'startAt', 'dryHours', by)).toBe(0);
  });

  // With no records the litres are the most uncertain part.
  const byRules = fitOf([]);
  const unmeasured = plannedWork(byRules, seats({}, { technician: 'ann', drying: bay }), context);
  const ahead = simulateJob(byRules, unmeasured, nDraws);
  const litresAt = (step: number) =>
    wouldNarrow(unmeasured, ahead, { ...byRules, readingSteps: [{ since: 0, stepL: step, sectionStepL: step }] }).find(
      ({ piece }) => piece === 'litres',
    )?.share ?? 0;

  it('the litres read after the work: hours until dry, by draws of nearly the same litres', () => {
    const pairs = [...ahead.tanksLPerM2].map((litres, d) => ({ litres, log: Math.log(ahead.dryHours[d]) }));
    pairs.sort((a, b) => a.litres - b.litres);
    const bins = Array.from({ length: 40 }, (_, b) => pairs.slice(b * 200, (b + 1) * 200).map(({ log }) => log));
    const expected = 1 - Math.sqrt(mean(bins.map(variance)) / variance(pairs.map(({ log }) => log)));
    expect(expected).toBeGreaterThan(0.15);
    expect(Math.abs(litresAt(0.01) - expected), `against ${expected}`).toBeLessThan(0.02);
  });

  it('is worth less where tanks are read more coarsely', () => {
    expect(litresAt(1)).toBeLessThan(0.7 * litresAt(0.01));
    const untold = wouldNarrow(unmeasured, ahead, byRules).find(({ piece }) => piece === 'litres');
    expect(untold?.share).toBe(litresAt(0.5));
  });
});

describe('contract: what an estimate says would narrow it', () => {
  it('names what is open, the most telling first, in words; nothing under 3 %', () => {
    const found = estimateJob(fit, { ...open, extractor: null, drying: {} }, context).wouldNarrow;
    expect(found.length).toBeGreaterThan(2);
    expect(found.map(({ share }) => share)).toEqual(found.map(({ share }) => share).toSorted((a, b) => b - a));
    expect(Math.min(...found.map(({ share }) => share))).toBeGreaterThanOrEqual(0.03);
    expect(found.map(({ text }) => text)).toContainEqual(
      expect.stringMatching(/^Knowing who does it would narrow the range of hours of labour by about \d+ %\.$/),
    );
  });

  it('says nothing where nothing is open', () => {
    const spot = seats({ method: 'spot' }, { technician: 'ann', drying: bay });
    expect(estimateJob(fit, spot, context).wouldNarrow).toEqual([]);
  });
});
