/**
 * Whether old records should count less: hours forecast month by month over the second of two years, from fits in which a record's weight halves
 * every 12 or 6 months, or which forget the first year, against fits in which all count alike. A weight w is an error variance of sigma² / w. Shops in which nothing changed, in
 * which the second year takes 30 % longer, and which slow down by 25 % a year all along.
 * CRPS in per cent of equal weights, given the passes made, with its standard error over shops.
 * Run: node --import tsx tests/bench/old-records.ts [seeds] [jobs]
 */
import type { FinishedJob } from '../../src/domain/record.ts';
import { fitRegression } from '../../src/inference/fit.ts';
import { predictorMoments } from '../../src/inference/predict.ts';
import { crpsLogNormal } from '../../src/inference/scores.ts';
import { priorsOf } from '../../src/models/layout.ts';
import { labourLayout, labourRows } from '../../src/models/rows/labour-rows.ts';
import type { ModelRows } from '../../src/models/rows/model-rows.ts';
import { ruleTable } from '../../src/models/rule-table.ts';
import { shopView } from '../../src/models/shop-view.ts';
import { simulateShop } from '../support/simulate/shop.ts';

const seeds = Number(process.argv[2] ?? 8);
const jobs = Number(process.argv[3] ?? 360);
const monthMs = (365.25 / 12) * 86_400_000;
const end = Date.parse('2026-01-05');
const begin = end - 24 * monthMs;
const halfLives = [Number.POSITIVE_INFINITY, 12, 6];
/** The third way: to forget all before the change, once so many jobs came since. */
const change = 12;
const fewestSince = 30;
/** Hours times this, a given number of months after the beginning. */
const scenarios: Readonly<Record<string, (months: number) => number>> = {
  'nothing changes': () => 1,
  'the second year 30 % slower': (months) => (months < 12 ? 1 : 1.3),
  'slower by 25 % a year': (months) => 1.25 ** (months / 12),
};

for (const [name, factor] of Object.entries(scenarios)) {
  const shops = (['lumps', 'strips'] as const).flatMap((kind) =>
    Array.from({ length: seeds }, (_, i) => scoresOf(kind, i + 1, factor)),
  );
  const words = [...halfLives.slice(1), undefined].map((halfLife, k) => {
    const percent = shops.map((scores) => 100 * ((scores[k + 1] ?? Number.NaN) / (scores[0] ?? Number.NaN) - 1));
    const mean = percent.reduce((sum, one) => sum + one, 0) / percent.length;
    const squares = percent.reduce((sum, one) => sum + (one - mean) ** 2, 0);
    const se = Math.sqrt(squares / (percent.length - 1) / percent.length);
    return `${halfLife === undefined ? 'since month 12 alone' : `half-life of ${halfLife} months`} ${mean.toFixed(1)} ± ${se.toFixed(1)} %`;
  });
  console.log(`${name}, ${shops.length} shops of ${jobs} jobs: ${words.join('; ')}`);
}

/** Mean CRPS of one shop's second year, one a half-life. */
function scoresOf(kind: 'lumps' | 'strips', seed: number, factor: (months: number) => number): readonly number[] {
  const { technicians, machines, records } = simulateShop(kind, seed, jobs);
  const first = Date.parse(records[0]?.finishedAt ?? '');
  const stretch = (end - begin) / (end - first);
  const spread = records.map((record) => {
    const months = (stretch * (Date.parse(record.finishedAt) - first)) / monthMs;
    const finishedAt = new Date(begin + months * monthMs).toISOString();
    const labour = record.labour.map((one) => ({ ...one, minutes: one.minutes * factor(months) }));
    return { months, job: { ...record, finishedAt, labour } };
  });
  const rowsOf = (some: readonly FinishedJob[]) => {
    const view = shopView(some, technicians, machines, ruleTable());
    return { layout: labourLayout(view), read: labourRows(view, labourLayout(view)), rules: view.rules };
  };
  return [...halfLives, undefined].map((halfLife) => {
    let [sum, n] = [0, 0];
    for (let month = 12; month < 24; month++) {
      const before = spread.filter(({ months }) => months < month);
      const since = before.filter(({ months }) => months >= change);
      const known = halfLife === undefined && since.length >= fewestSince ? since : before;
      const coming = spread.filter(({ months }) => months >= month && months < month + 1);
      if (coming.length === 0) continue;
      const { layout, read, rules } = rowsOf(known.map(({ job }) => job));
      const ages = known.map(({ months }) => month - months);
      const forecast = fitted(read, priorsOf('labour', layout, rules), ages, halfLife ?? Number.POSITIVE_INFINITY);
      const scores = forecast(rowsOf(coming.map(({ job }) => job)).read);
      sum += scores.reduce((all, one) => all + one, 0);
      n += scores.length;
    }
    return sum / n;
  });
}

function fitted(read: ModelRows, priors: ReturnType<typeof priorsOf>, ages: readonly number[], halfLife: number) {
  const posteriorOf = (addedVariance: Float64Array) => {
    const observations = { ...read.observations, addedVariance };
    const result = fitRegression({
      name: 'labour',
      rows: read.rows,
      observations,
      error: { kind: 'normal' },
      ...priors,
    });
    if (result.status === 'failed') throw new Error(result.message);
    return result.posterior;
  };
  const equal = posteriorOf(new Float64Array(read.rows.nRows));
  const sigma2 = (equal.points[0]?.sigma ?? Number.NaN) ** 2;
  const isEqual = !Number.isFinite(halfLife);
  const posterior = isEqual
    ? equal
    : posteriorOf(Float64Array.from(ages, (age) => sigma2 * (2 ** (age / halfLife) - 1)));
  const noise = posterior.points.reduce((sum, { weight, sigma }) => sum + weight * sigma ** 2, 0);
  return ({ rows, observations }: ModelRows): readonly number[] => {
    const { mean, variance } = predictorMoments(posterior, rows);
    return Array.from(mean, (level, i) =>
      crpsLogNormal(
        Math.exp(observations.lower[i] ?? Number.NaN),
        level + (observations.offset[i] ?? 0),
        Math.sqrt((variance[i] ?? Number.NaN) + noise),
      ),
    );
  };
}
