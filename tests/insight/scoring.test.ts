import { describe, expect, it } from 'vitest';
import type { FinishedJob } from '../../src/domain/record.ts';
import { randomGenerator } from '../../src/inference/random.ts';
import { crpsLogNormal } from '../../src/inference/scores.ts';
import type { KnownChange } from '../../src/insight/known-changes.ts';
import { nightBudget } from '../../src/insight/scoring/due-months.ts';
import { ensemble, type Forecast, type JobForecast, logNormal } from '../../src/insight/scoring/forecast.ts';
import { type JobScore, scoreJob, scoreOutcomes } from '../../src/insight/scoring/job-scores.ts';
import { total } from '../../src/insight/scoring/month-scores.ts';
import { outcomesOf } from '../../src/insight/scoring/outcomes.ts';
import { scoreShop } from '../../src/insight/scoring/score-shop.ts';
import { modelLines } from '../../src/insight/yardsticks/model-lines.ts';
import { soilMeans, typicalValue } from '../../src/insight/yardsticks/soil-means.ts';
import { fitShop } from '../../src/models/fit.ts';
import { modelNames } from '../../src/models/shop-fit.ts';
import { doneSections, totalSurfaceM2 } from '../../src/models/work-section.ts';
import { done, fitOf, machines, now, technicians } from '../models/shop-under-test.ts';
import { simulateShop } from '../support/simulate/shop.ts';

const noRecords = fitOf([]);

/** 3.5 hours; two passes on one seat, three and given up on the other; 1 L left in 3.2 m² or so; dry between 3 and 5 hours. */
const job: FinishedJob = {
  ...done('S-1', {}, { sprayedLitres: 4, recoveredLitres: 3 }),
  drying: {
    checks: [
      { hours: 3, dry: false },
      { hours: 5, dry: true },
    ],
  },
};
const [front, rear] = job.sections;
const mixed: FinishedJob = { ...job, sections: [front, { ...rear, wetPasses: 3, result: 'improved' }] };
const outcomes = outcomesOf(noRecords, mixed);

/** Passes 1, 2, 2, 3; everything else log-normal about one. */
const forecast: JobForecast = {
  passes: [ensemble([1, 2, 2, 3]), ensemble([1, 2, 2, 3])],
  hours: logNormal(Math.log(3), 0.2),
  litres: logNormal(Math.log(0.3), 0.3),
  dryHours: logNormal(Math.log(4), 0.25),
};

describe('identity: forecasts', () => {
  it('a single draw is off by its distance, and its quantiles are itself', () => {
    const one = ensemble([3]);
    expect([one.crps(5), one.crps(3), one.quantile(0.1), one.atOrBelow(2.9), one.atOrBelow(3)]).toEqual([
      2, 0, 3, 0, 1,
    ]);
  });

  it('the quantiles of a log-normal invert its distribution function', () => {
    const { atOrBelow, quantile } = logNormal(0.7, 0.4);
    for (const p of [0.01, 0.2, 0.5, 0.8, 0.99]) expect(atOrBelow(quantile(p))).toBeCloseTo(p, 12);
    expect([atOrBelow(0), atOrBelow(Number.POSITIVE_INFINITY)]).toEqual([0, 1]);
  });

  it('many draws of a log-normal score as its closed form', () => {
    const { quantile, crps } = logNormal(0.7, 0.4);
    const draws = ensemble(Array.from({ length: 4000 }, (_, i) => quantile((i + 0.5) / 4000)));
    for (const y of [0.5, 2, 9]) expect(draws.crps(y)).toBeCloseTo(crps(y), 3);
  });
});

describe('contract: the scores of a job, by hand', () => {
  const { passes, labour, drying } = scoreOutcomes(outcomes, forecast);

  it('passes: squared steps of the distribution function, the mean of the sections', () => {
    // F is 1/4, 3/4, 1: two passes miss by 1/16 and 1/16, three by 1/16 and 9/16.
    expect(passes?.score).toBeCloseTo((2 / 16 + 10 / 16) / 2, 12);
    // Two lie between 0.25 and 0.75; three between 0.75 and 1, of which 0.75 to 0.9 is in the 80 % range.
    expect(passes?.inside80).toBeCloseTo((1 + 0.15 / 0.25) / 2, 12);
    expect(passes?.error).toBe((0 + 1) / 2);
    expect(passes?.residual).toBe(passes?.error);
  });

  it('passes that did not clean are scored too: to leave them out would favour forecasts of few', () => {
    const alone = scoreOutcomes(outcomesOf(noRecords, { ...mixed, sections: [front] }), forecast);
    expect(alone.passes?.error).toBe(0);
  });

  it('hours: CRPS, pinball loss of the 80 % quantile, error in hours', () => {
    expect(labour?.score).toBeCloseTo(crpsLogNormal(3.5, Math.log(3), 0.2), 12);
    // Against the mean, exp(σ²/2) above the median: a right forecast of what is skewed is off by nothing on average.
    expect(labour?.error).toBeCloseTo(3.5 - 3 * Math.exp(0.02), 12);
    expect(labour?.miss).toBeCloseTo(0.5, 12);
    expect(labour?.residual).toBeCloseTo(Math.log(3.5 / 3), 12);
    // The 80 % quantile is 3 exp(0.2 · 0.8416) = 3.5500: 0.0500 above what came.
    expect(labour?.pinball80).toBeCloseTo(0.2 * (3 * Math.exp(0.2 * 0.8416212335729143) - 3.5), 9);
    expect([labour?.inside50, labour?.inside80]).toEqual([0, 1]);
  });

  it('water: tanks that tell of nothing left are an outcome, of the lower end of the forecast', () => {
    const none = { ...mixed, sprayedLitres: 4, recoveredLitres: 4 };
    const { water } = scoreOutcomes(outcomesOf(noRecords, none), forecast);
    expect(water?.score).toBeCloseTo(crpsLogNormal(0, Math.log(0.3), 0.3), 12);
    expect(water?.error).toBeCloseTo(-0.3 * Math.exp(0.045), 12);
    expect(water?.residual).toBeLessThan(0);
    expect(Number.isFinite(water?.residual)).toBe(true);
  });

  it('water: all that was extracted, read as one or section by section; part of it is no outcome of the forecast', () => {
    const byHand = { ...job, sprayedLitres: undefined, recoveredLitres: undefined };
    const tank = (sprayedLitres: number, recoveredLitres: number) => ({ sprayedLitres, recoveredLitres });
    const waterOf = (sections: FinishedJob['sections']) =>
      outcomesOf(noRecords, { ...byHand, sections }).find(({ model }) => model === 'water');
    const each = waterOf([
      { ...front, ...tank(2, 1.6) },
      { ...rear, ...tank(2, 1.4) },
    ]);
    expect(each?.value).toBeCloseTo(outcomes.find(({ model }) => model === 'water')?.value ?? 0, 12);
    expect(waterOf([{ ...front, ...tank(2, 1.6) }, rear])).toBeUndefined();
  });

  /** Whole litres in both tanks, of a job that leaves what is forecast or what is said. */
  const readWhole = (litresPerM2: Forecast, tried = 4000) => {
    const random = randomGenerator(3);
    const wholeLitres = { ...noRecords, readingSteps: [{ since: 0, stepL: 1, sectionStepL: 1 }] };
    const surfaceM2 = totalSurfaceM2(doneSections(job, noRecords));
    const scores = Array.from({ length: tried }, () => {
      const left = surfaceM2 * logNormal(Math.log(0.35), 0.35).quantile(random.uniform());
      const sprayed = 6 + random.uniform();
      const [sprayedLitres, recoveredLitres] = [Math.round(sprayed), Math.round(sprayed - left)];
      const outcomesRead = outcomesOf(wholeLitres, { ...job, sprayedLitres, recoveredLitres });
      const { water } = scoreOutcomes(outcomesRead, { litres: litresPerM2 });
      if (water === undefined) throw new Error('no outcome of the water');
      return water;
    });
    return (pick: (score: JobScore) => number) => scores.reduce((sum, one) => sum + pick(one), 0) / tried;
  };

  it('water: ranges that are right hold what coarse tanks read as often as they say, and those too narrow do not', () => {
    const right = readWhole(logNormal(Math.log(0.35), 0.35));
    // Four standard errors of 4,000 jobs are 0.02 to 0.03.
    expect(Math.abs(right(({ inside80 }) => inside80) - 0.8)).toBeLessThan(0.02);
    expect(Math.abs(right(({ inside50 }) => inside50) - 0.5)).toBeLessThan(0.02);
    expect(Math.abs(right(({ residual }) => residual))).toBeLessThan(0.015);
    // By the true litres these hold 54 in a hundred.
    const narrow = readWhole(logNormal(Math.log(0.35), 0.2));
    expect(narrow(({ inside80 }) => inside80)).toBeLessThan(0.75);
  });

  it('drying: Brier scores of the looks, each given that it was still wet before', () => {
    const [h3, h5] = [forecast.dryHours.atOrBelow(3), forecast.dryHours.atOrBelow(5)];
    expect(drying?.score).toBeCloseTo(h3 ** 2 + ((h5 - h3) / (1 - h3) - 1) ** 2, 12);
    expect(drying?.error).toBeNaN();
  });

  it('drying: the residual is where the forecast itself would expect it between the two checks', () => {
    const [low, high] = [Math.log(3 / 4) / 0.25, Math.log(5 / 4) / 0.25];
    const density = (z: number) => Math.exp(-0.5 * z * z) / Math.sqrt(2 * Math.PI);
    const share = forecast.dryHours.atOrBelow(5) - forecast.dryHours.atOrBelow(3);
    expect(drying?.residual).toBeCloseTo((0.25 * (density(low) - density(high))) / share, 9);
  });

  it('drying: what was dry when the work ended is held against a time, as the model reads it', () => {
    const atOnce = { ...job, drying: { checks: [{ hours: 0, dry: true }] } };
    const quick = { ...forecast, dryHours: logNormal(Math.log(0.1), 1) };
    const { drying: scored } = scoreOutcomes(outcomesOf(noRecords, atOnce), quick);
    expect(scored?.score).toBeCloseTo(0.25, 12);
    expect(scored?.inside80).toBeCloseTo(0.8, 12);
    const seen = Array.from({ length: 5 }, () => ({ job: atOnce, outcomes: outcomesOf(noRecords, atOnce) }));
    expect(soilMeans(seen)(atOnce).dryHours?.quantile(0.5)).toBeCloseTo(0.05, 12);
  });

  it('drying: of whoever notes only the look which found it dry, one before is reckoned with', () => {
    const noted = { ...job, drying: { checks: [{ hours: 6, dry: true }] } };
    const dryAlone = [{ technician: job.labour[0].technician, from: job.finishedAt, until: null }];
    const scoreBy = (wetUntil: number) => {
      const outcomes = outcomesOf({ ...noRecords, looks: { wetUntil, dryAlone } }, noted);
      return scoreOutcomes(outcomes, forecast).drying?.score;
    };
    const [h3, h6] = [3, 6].map((hours) => forecast.dryHours.atOrBelow(hours));
    expect(scoreBy(0)).toBeCloseTo((h6 - 1) ** 2, 12);
    expect(scoreBy(0.5)).toBeCloseTo(h3 ** 2 + ((h6 - h3) / (1 - h3) - 1) ** 2, 12);
  });

  it('least squares sees no more of a job than was known before the work', () => {
    const shop = simulateShop('strips', 5, 120);
    const result = fitShop({ ...shop, now: new Date('2026-01-05') });
    if (result.status === 'failed') throw new Error(JSON.stringify(result.failures));
    const forecast = modelLines(result.fit, result.rows, [], shop);
    const job = shop.records[3];
    const worked = (dryPasses: number) => ({
      ...job,
      sprayedLitres: 9,
      recoveredLitres: 3,
      sections: job.sections.map((section) => ({ ...section, dryPasses, wetPasses: 4 })),
    });
    const [none, many] = [0, 6].map((dryPasses) => forecast(worked(dryPasses)));
    for (const [before, after] of [
      [none.litres, many.litres],
      [none.hours, many.hours],
    ])
      expect(after?.quantile(0.5)).toBe(before?.quantile(0.5));
    expect(none.litres?.quantile(0.5)).toBeGreaterThan(0);
  });

  it('what a yardstick does not forecast it is not scored on', () => {
    expect(Object.keys(scoreOutcomes(outcomes, { hours: forecast.hours }))).toEqual(['labour']);
    const oneSection = { passes: [forecast.passes[0]] };
    expect(scoreOutcomes(outcomes, oneSection)).toEqual({});
  });

  it('a fit is scored on everything that came of a job', () => {
    const all = scoreJob(noRecords, mixed, { now, technicians, machines });
    expect(Object.keys(all)).toEqual(modelNames);
    expect(Object.values(all).every(({ score }) => score >= 0)).toBe(true);
  });
});

describe('contract: the mean and spread by soil level', () => {
  const seen = (hours: number, soil: 'light' | 'heavy') => {
    const one = done('S', { soil }, { labour: [{ technician: 'ann', minutes: 60 * hours }] });
    return { job: one, outcomes: outcomesOf(noRecords, one) };
  };

  it('is the level’s own, held to that of all by three jobs', () => {
    const light = [2, 2, 2, 2, 2, 2].map((hours) => seen(hours, 'light'));
    const heavy = [4, 4, 4, 4, 4, 4].map((hours) => seen(hours, 'heavy'));
    const { hours } = soilMeans([...light, ...heavy])(light[0].job);
    const all = (6 * Math.log(2) + 6 * Math.log(4)) / 12;
    expect(Math.log(hours?.quantile(0.5) ?? 0)).toBeCloseTo((6 * Math.log(2) + 3 * all) / 9, 9);
  });

  it('forecasts nothing from fewer than five', () => {
    const few = [2, 3, 2, 3].map((hours) => seen(hours, 'light'));
    expect(soilMeans(few)(few[0].job).hours).toBeUndefined();
  });

  it('reads an interval by its middle, and what never dried as half as long again', () => {
    expect(typicalValue({ model: 'drying', from: 3, to: 5, value: undefined })).toBe(4);
    expect(typicalValue({ model: 'drying', from: 6, to: Number.POSITIVE_INFINITY, value: undefined })).toBe(9);
    expect(typicalValue({ model: 'drying', from: 0, to: Number.POSITIVE_INFINITY, value: undefined })).toBeUndefined();
    expect(typicalValue({ model: 'passes', from: 2, to: 3, value: 3 })).toBe(2.5);
    expect(typicalValue({ model: 'labour', from: 2, to: 2, value: 2 })).toBe(2);
  });
});

describe('recovery: all four models against all three yardsticks', () => {
  const { technicians: people, machines: owned, records } = simulateShop('strips', 5, 240);
  const history = { technicians: people, machines: owned, records, rules: {}, version: 1 };
  const { months } = scoreShop(history);

  it('each is there, on the same outcomes, and loses in sum to the shop’s own numbers', () => {
    for (const model of modelNames) {
      const { n, soilMeans: soil, leastSquares: line } = total(months, model);
      expect(n).toBeGreaterThan(60);
      for (const one of [soil, line]) {
        expect(one.n).toBeGreaterThan(0.6 * n);
        expect(one.own).toBeLessThan(one.other);
      }
    }
  });

  it('what today’s fit does not believe of a record is held against no forecast', () => {
    const last = months.at(-1) ?? expect.fail('no months');
    const inMonth = records.filter(({ finishedAt }) => finishedAt.startsWith(last.month));
    const result = fitShop({ ...history, now: new Date('2026-01-05') });
    if (result.status !== 'fitted') throw new Error('no fit');
    const { models } = result.fit;
    const doubted = { ref: inMonth[0].ref, reason: 'not believed' };
    const labour = { ...models.labour, leftOut: [...models.labour.leftOut, doubted] };
    const today = { ...result.fit, models: { ...models, labour } };
    const again = scoreShop({ ...history, today, formerMonths: months }).months.at(-1) ?? expect.fail('no months');
    expect(again.models.labour.n).toBe(last.models.labour.n - 1);
    expect(again.models.passes.n).toBe(last.models.passes.n);
  });
});

describe('contract: months with a soil level of which nothing was wetted', () => {
  it('are scored, and the line forecasts such a job as one that will be wetted', () => {
    const records = Array.from({ length: 50 }, (_, i) => {
      const finishedAt = `2026-0${i < 40 ? 2 : 3}-${10 + (i % 15)}T12:00:00Z`;
      const labour = [{ technician: 'ann', minutes: 180 + ((i * 37) % 60) }];
      const wetted = done(`W-${i}`, {}, { finishedAt, labour, sprayedLitres: 4, recoveredLitres: 3 });
      const vacuumed = { ...wetted.sections[1], soil: 'light', wetPasses: 0, result: 'improved' } as const;
      return i % 10 === 0 ? { ...wetted, sections: [wetted.sections[0], vacuumed] } : wetted;
    });
    const { months } = scoreShop({ technicians, machines, records, rules: {}, version: 1 });
    expect(months.map(({ models }) => models.water.leastSquares.n)).toEqual([0, 10]);
    expect(Number.isFinite(months[1].models.water.leastSquares.other)).toBe(true);
  });
});

describe('contract: the months of a large shop are scored over several nights', () => {
  const done = (jobs: number, jobsKnown: readonly number[]) => {
    const hasTime = nightBudget(jobs);
    const late = jobsKnown.findIndex((known) => !hasTime(known));
    return late < 0 ? jobsKnown.length : late;
  };
  const year = (jobs: number) => Array.from({ length: 12 }, (_, i) => ((i + 1) * jobs) / 13);

  it('all at once where the shop is small', () => {
    expect(done(800, year(800))).toBe(12);
  });

  it('some where it is large, two at least', () => {
    expect(done(2000, year(2000))).toBe(4);
    expect(done(50_000, year(50_000))).toBe(2);
  });

  it('and changes that tonight’s months do not reach up to stand until they do', () => {
    const large = simulateShop('strips', 5, 2800);
    const about = { technicians: large.technicians, machines: large.machines, records: large.records };
    const change = (since: string, knownFrom: string): KnownChange => ({
      drift: {
        model: 'labour',
        since,
        until: since,
        goesOn: true,
        outcomes: 90,
        began: [],
        shift: 0.3,
        factor: 1.35,
        pValue: 0,
        says: '',
      },
      knownFrom,
      basis: 'of months that were otherwise then',
    });
    const [old, shown, later] = [
      change('2024-06', '2024-08'),
      change('2025-01', '2025-03'),
      change('2025-08', '2025-10'),
    ];
    const { months, changes } = scoreShop({ ...about, rules: {}, version: 1, formerChanges: [old, shown, later] });
    expect(months.map(({ month }) => month)).toEqual(['2025-02', '2025-03']);
    // Of the second nothing shows in the months that were scored again.
    expect(changes).toEqual([old, later]);
  });
});
