/**
 * What it gains that the level may creep from half-year to half-year (`withSteps` in models/layout.ts): invented shops of three mechanisms over two
 * years whose hours creep, step, or stay as they are. Every other month of the second year is forecast from the records before it, as it is
 * and with steps held to nothing. Mean score of the hours in per cent of the latter, less is better, with its standard error over shops.
 * Run: node --import tsx tests/bench/creep.ts [shops of each mechanism] [jobs in two years]
 */
import type { FinishedJob } from '../../src/domain/record.ts';
import { monthOf } from '../../src/insight/scoring/month-basis.ts';
import { scoreMonth } from '../../src/insight/scoring/score-month.ts';
import { evenly } from '../../src/models/evenly.ts';
import { type FitInput, fitShop } from '../../src/models/fit.ts';
import { simulateShop } from '../support/simulate/shop.ts';
import { simulateSponge } from '../support/simulate/sponge-shop.ts';

const shops = Number(process.argv[2] ?? 3);
const nJobs = Number(process.argv[3] ?? 600);
/** As many jobs of a month as the nightly run forecasts. */
const mostJobs = 30;
const yearMs = 365.25 * 86_400_000;
const noSteps = { 'labour.crept': { sd: 1e-6 } };

const scenarios: Readonly<Record<string, (years: number) => number>> = {
  'as it is': () => 1,
  'slower by 25 % a year': (years) => 1.25 ** years,
  'slower by 10 % a year': (years) => 1.1 ** years,
  'quicker by 15 % a year': (years) => 0.85 ** years,
  '30 % slower from a day on': (years) => (years < 1.12 ? 1 : 1.3),
};

for (const [name, factor] of Object.entries(scenarios)) {
  const ratios = (['lumps', 'strips', 'sponge'] as const).flatMap((kind) =>
    Array.from({ length: shops }, (_, i) => {
      const shop = kind === 'sponge' ? simulateSponge(801 + i, nJobs) : simulateShop(kind, 801 + i, nJobs);
      const { technicians, machines } = shop;
      const records = overTwoYears(shop.records, factor);
      return score(records, { technicians, machines }) / score(records, { technicians, machines, rules: noSteps });
    }),
  );
  const values = ratios.map((ratio) => 100 * (ratio - 1));
  const mean = values.reduce((sum, one) => sum + one, 0) / values.length;
  const squares = values.reduce((sum, one) => sum + (one - mean) ** 2, 0);
  const error = Math.sqrt(squares / (values.length - 1) / values.length);
  console.log(`${name}: ${mean.toFixed(1)} ± ${error.toFixed(1)} %`);
}

/** The year of records at half its pace, hours changed. */
function overTwoYears(records: readonly FinishedJob[], factor: (years: number) => number): readonly FinishedJob[] {
  const start = Date.parse(records[0].finishedAt);
  const slowed = records.map((record) => {
    const years = (2 * (Date.parse(record.finishedAt) - start)) / yearMs;
    const labour = record.labour.map((one) => ({ ...one, minutes: Math.round(one.minutes * factor(years)) }));
    return { ...record, labour, finishedAt: new Date(start + years * yearMs).toISOString(), drying: undefined };
  });
  return slowed.sort((a, b) => Date.parse(a.finishedAt) - Date.parse(b.finishedAt));
}

function score(records: readonly FinishedJob[], lists: Omit<FitInput, 'records' | 'now'>): number {
  const fitted = (known: readonly FinishedJob[], now: Date) => {
    const result = fitShop({ ...lists, records: known, now, integrate: false });
    if (result.status === 'failed') throw new Error(result.failures.map(({ message }) => message).join());
    return result;
  };
  const byRule = fitted([], new Date(0));
  const months = [...new Set(records.map(monthOf))].sort().slice(-12);
  const sums = months
    .filter((_, i) => i % 2 === 0)
    .map((month) => {
      const known = records.filter((job) => monthOf(job) < month);
      const jobs = evenly(
        records.filter((job) => monthOf(job) === month),
        mostJobs,
      );
      const now = new Date(`${month}-01T00:00:00Z`);
      return scoreMonth({ ...lists, known, jobs, now, unread: undefined }, fitted(known, now), byRule.fit).labour;
    });
  return sums.reduce((sum, one) => sum + one.score, 0) / sums.reduce((sum, { n }) => sum + n, 0);
}
