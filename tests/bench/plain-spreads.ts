/**
 * What taking a fit's spreads as known does to its forecasts: `node --import tsx tests/bench/plain-spreads.ts`.
 * By jobs known and model: scores against those of the integrated fit, per cent with its standard error, and per cent inside the 80 and 90 % ranges of both.
 */
import { scoreJob } from '../../src/insight/scoring/job-scores.ts';
import { fitShop } from '../../src/models/fit.ts';
import { modelNames, type ShopFit } from '../../src/models/shop-fit.ts';
import { simulateShop } from '../support/simulate/shop.ts';

const forecastJobs = 60;
const now = new Date('2026-01-05');

for (const known of [100, 200, 400, 800]) {
  const pairs = (['lumps', 'strips'] as const).flatMap((kind) =>
    [1, 2, 3, 4].flatMap((seed) => both(kind, seed, known)),
  );
  for (const model of modelNames) {
    const scores = pairs.flatMap(({ integrated, plain }) => {
      const [a, b] = [integrated[model], plain[model]];
      return a && b ? [{ a, b }] : [];
    });
    const mean = (pick: (of: (typeof scores)[number]) => number) =>
      scores.reduce((sum, one) => sum + pick(one), 0) / scores.length;
    const score = mean(({ a }) => a.score);
    const gap = mean(({ a, b }) => b.score - a.score);
    const sd = Math.sqrt(mean(({ a, b }) => (b.score - a.score - gap) ** 2) / scores.length);
    const per = (share: number) => (100 * share).toFixed(1);
    console.log(
      `${known} jobs, ${model}: ${((100 * gap) / score).toFixed(2)} ± ${((100 * sd) / score).toFixed(2)} %; inside 80 %: ${per(mean(({ a }) => a.inside80))} integrated, ${per(mean(({ b }) => b.inside80))} plain; 90 %: ${per(mean(({ a }) => a.inside90))}, ${per(mean(({ b }) => b.inside90))}`,
    );
  }
}

function both(kind: 'lumps' | 'strips', seed: number, known: number) {
  const { technicians, machines, records } = simulateShop(kind, seed, known + forecastJobs);
  const shop = { technicians, machines, now };
  const fitted = (integrate: boolean): ShopFit => {
    const result = fitShop({ ...shop, records: records.slice(0, known), integrate });
    if (result.status === 'failed') throw new Error(result.failures.map(({ message }) => message).join());
    return result.fit;
  };
  const [integrated, plain] = [fitted(true), fitted(false)];
  return records
    .slice(known)
    .map((job) => ({ integrated: scoreJob(integrated, job, shop), plain: scoreJob(plain, job, shop) }));
}
