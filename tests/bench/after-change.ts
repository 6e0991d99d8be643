/**
 * What it gains to reckon with a change that was found: whole invented shops by two mechanisms, of which from a month in the middle of the
 * year on the hours take 30 % longer, 60 % more water stays in, every section takes a pass more, the hours take longer for one month alone, or nothing changes. Every month after the one
 * that showed it is forecast as the nightly run does it, with all records alike, and from the records since the change alone. Where nothing
 * changes a change is assumed all the same, for what a false alarm would cost. Mean score in per cent of all alike, less is better, with its
 * standard error over shops.
 * Run: node --import tsx tests/bench/after-change.ts [seeds] [jobs]
 */
import type { ModelName } from '../../src/domain/doubts.ts';
import type { FinishedJob } from '../../src/domain/record.ts';
import { monthOf } from '../../src/insight/scoring/month-basis.ts';
import { scoreMonth } from '../../src/insight/scoring/score-month.ts';
import { scoreShop } from '../../src/insight/scoring/score-shop.ts';
import { evenly } from '../../src/models/evenly.ts';
import { type FittedShop, fitShop } from '../../src/models/fit.ts';
import type { LevelChanges } from '../../src/models/layout.ts';
import { simulateShop } from '../support/simulate/shop.ts';

const seeds = Number(process.argv[2] ?? 4);
const nJobs = Number(process.argv[3] ?? 300);
const kinds = ['lumps', 'strips'] as const;
/** Litres: read finely, so that the change is one of the water and not of how it is rounded. */
const readingStep = 0.1;
/** As many jobs of a month as the nightly run forecasts. */
const mostJobs = 30;

interface Scenario {
  readonly name: string;
  readonly model: ModelName;
  readonly change: (record: FinishedJob) => FinishedJob;
  readonly passes?: boolean;
}

const longer = (record: FinishedJob): FinishedJob => ({
  ...record,
  labour: record.labour.map((one) => ({ ...one, minutes: Math.round(1.3 * one.minutes) })),
});

function wetter(record: FinishedJob): FinishedJob {
  const { sprayedLitres, recoveredLitres } = record;
  if (sprayedLitres === undefined || recoveredLitres === undefined) return record;
  const recovered = sprayedLitres - 1.6 * (sprayedLitres - recoveredLitres);
  return { ...record, recoveredLitres: Math.max(0, Math.round(recovered / readingStep) * readingStep) };
}

const aPassMore = (record: FinishedJob): FinishedJob => ({
  ...record,
  sections: record.sections.map((section) => ({ ...section, wetPasses: section.wetPasses + 1 })),
});

const scenarios: readonly Scenario[] = [
  { name: 'hours × 1.3', model: 'labour', change: longer },
  { name: 'water × 1.6', model: 'water', change: wetter },
  { name: 'a pass more', model: 'passes', change: aPassMore },
  { name: 'hours × 1.3 in one month alone', model: 'labour', change: longer, passes: true },
];
const models: readonly ModelName[] = ['passes', 'labour', 'water', 'drying'];

for (const { name, model, change, passes } of scenarios) {
  const shops = shopsOf((kind, seed) => changedShop(kind, seed, change, passes));
  const found = shops.flatMap((shop) => shop.foundOf(model) ?? []);
  const words = (['nightly', 'since alone'] as const).map((way) => `${way} ${percent(found.map((one) => one[way]))}`);
  console.log(`${name}: found in ${found.length} of ${shops.length}; ${model} ${words.join(', ')}`);
}
const unchanged = shopsOf((kind, seed) => changedShop(kind, seed, (record) => record));
const known = unchanged.filter(({ changes }) => Object.keys(changes).length > 0);
console.log(`nothing changes: a change known in ${known.length} of ${unchanged.length}`);
for (const model of models)
  console.log(`  ${model}, one assumed: ${percent(unchanged.map(({ assumed }) => assumed(model)))}`);

function shopsOf<T>(make: (kind: (typeof kinds)[number], seed: number) => T): readonly T[] {
  return kinds.flatMap((kind) => Array.from({ length: seeds }, (_, i) => make(kind, 701 + i)));
}

function changedShop(kind: (typeof kinds)[number], seed: number, change: Scenario['change'], passes = false) {
  const { technicians, machines, records: plain } = simulateShop(kind, seed, nJobs, { readingStep });
  const month = monthOf(plain[nJobs / 2]);
  const isAffected = (at: string) => (passes ? at === month : at >= month);
  const records = plain.map((record) => (isAffected(monthOf(record)) ? change(record) : record));
  const lists = { technicians, machines };
  const { months, changes } = scoreShop({ ...lists, records, rules: {}, version: 1 });
  const byRule = fitted({ ...lists, records: [], now: new Date(0) });
  /** Mean score over the months from one on, each from a fit of some of the records known by then. */
  const score = (from: string, model: ModelName, kept: (job: FinishedJob) => boolean, levels: LevelChanges) => {
    const sums = months.map((one) => {
      if (one.month < from) return { score: 0, n: 0 };
      const known = records.slice(0, one.jobsKnown);
      const now = new Date(`${one.month}-01T00:00:00Z`);
      const then = fitted({
        ...lists,
        records: known.filter(kept),
        now,
        integrate: known.length < 400,
        changes: levels,
      });
      const jobs = evenly(
        records.slice(one.jobsKnown).filter((job) => monthOf(job) === one.month),
        mostJobs,
      );
      return scoreMonth({ ...lists, known, jobs, now, unread: undefined }, then, byRule.fit)[model];
    });
    return sums.reduce((sum, one) => sum + one.score, 0) / sums.reduce((sum, { n }) => sum + n, 0);
  };
  const all = () => true;
  return {
    changes,
    foundOf: (model: ModelName) => {
      const found = changes.find(({ drift }) => drift.model === model);
      if (found === undefined) return undefined;
      const { knownFrom, drift } = found;
      const alike = score(knownFrom, model, all, {});
      const nightly = months.filter((one) => one.month >= knownFrom).map((one) => one.models[model]);
      const own = nightly.reduce((sum, one) => sum + one.score, 0) / nightly.reduce((sum, { n }) => sum + n, 0);
      const since = score(knownFrom, model, (job) => monthOf(job) >= drift.since, {});
      return { nightly: own / alike, 'since alone': since / alike };
    },
    assumed: (model: ModelName) => {
      const from = months[months.findIndex((one) => one.month === month) + 1].month;
      return score(from, model, all, { [model]: [month] }) / score(from, model, all, {});
    },
  };
}

function fitted(input: Parameters<typeof fitShop>[0]): FittedShop {
  const result = fitShop(input);
  if (result.status === 'failed') throw new Error(result.failures.map(({ message }) => message).join());
  return result;
}

function percent(ratios: readonly number[]): string {
  if (ratios.length < 2) return 'too few to tell';
  const values = ratios.map((ratio) => 100 * (ratio - 1));
  const mean = values.reduce((sum, one) => sum + one, 0) / values.length;
  const squares = values.reduce((sum, one) => sum + (one - mean) ** 2, 0);
  return `${mean.toFixed(1)} ± ${Math.sqrt(squares / (values.length - 1) / values.length).toFixed(1)} %`;
}
