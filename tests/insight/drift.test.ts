import { describe, expect, it } from 'vitest';
import type { ModelName } from '../../src/domain/doubts.ts';
import { randomGenerator } from '../../src/inference/random.ts';
import { drifts } from '../../src/insight/drift.ts';
import { emptyModels, emptyMonth, type MonthScores } from '../../src/insight/scoring/month-scores.ts';
import { modelNames } from '../../src/models/shop-fit.ts';

/** A month of one model with a given mean residual, its jobs about it with a variance of 0.04. */
function month(index: number, mean: number, n = 20, model: ModelName = 'labour'): MonthScores {
  const own = { ...emptyMonth, n, residual: n * mean, residualSquares: n * mean ** 2 + 0.04 * (n - 1) };
  const name = `2025-${String(index + 1).padStart(2, '0')}`;
  return {
    month: name,
    jobsKnown: 100,
    jobs: n,
    basis: '',
    failed: null,
    models: { ...emptyModels(), [model]: own },
  };
}

describe('identity: drift', () => {
  const of = (means: readonly number[], n = 20, model: ModelName = 'labour') =>
    drifts(means.map((mean, i) => month(i, mean, n, model)));

  it('a clean step is found where it is, with its size', () => {
    const found = of([0, 0, 0, 0, 0, 0.4, 0.4, 0.4]);
    expect(found).toMatchObject([{ model: 'labour', since: '2025-06', until: '2025-08', goesOn: true, outcomes: 60 }]);
    expect(found[0].factor).toBeCloseTo(Math.exp(0.4), 10);
    expect(found[0].began).toHaveLength(1);
    expect(found[0].says).toContain('That it began in 2025-06 is 99 % sure.');
  });

  it('one that creeps in says between which months it began', () => {
    const [found] = of([0, 0.02, -0.02, 0.06, 0.13, 0.2, 0.24, 0.25]);
    expect(found.began.length).toBeGreaterThan(1);
    const sum = found.began.reduce((all, { chance }) => all + chance, 0);
    expect(sum).toBeGreaterThanOrEqual(0.9);
    expect(sum).toBeLessThanOrEqual(1);
    expect(found.says).toMatch(/is \d+ % sure; nine times in ten it was between 2025-\d\d and 2025-\d\d\./);
  });

  it('one that the fits have learnt has an end', () => {
    const [found] = of([0, 0, 0, 0, -0.5, -0.4, 0, 0]);
    expect(found).toMatchObject({ since: '2025-05', until: '2025-06', goesOn: false });
    expect(found.says).toContain('From 2025-05 to 2025-06 jobs took 36 % less than forecast');
  });

  it.each([
    ['passes', 'a section took 0.4 passes more than forecast'],
    ['water', 'at least 49 % more water was left in than forecast'],
    ['drying', 'drying took at least 49 % longer than forecast'],
  ] as const)('of %s it is said in words of its own', (model, words) => {
    const [found] = of([0, 0, 0, 0, 0, 0.4, 0.4, 0.4], 20, model);
    expect(found.says).toContain(words);
    expect(found.factor === null).toBe(model === 'passes');
  });

  it('one odd month early on makes no drift of the months after it, which came as forecast', () => {
    expect(of([-0.5, 0.02, 0, -0.02, 0.01, 0, 0.02, 0])).toEqual([]);
    const [found] = of([0.02, -0.5, 0, -0.02, 0.01, 0, 0.02, 0]);
    expect(found).toMatchObject({ since: '2025-02', until: '2025-02', goesOn: false });
  });

  it('says nothing on few jobs, or few months', () => {
    expect(of([0, 0, 0, 0, 0.4, 0.4], 3)).toEqual([]);
    expect(of([0, 0, 0.4])).toEqual([]);
  });
});

describe('recovery: drift in months drawn at random', () => {
  const random = randomGenerator(17);
  /** Twelve months of all four figures, fifteen jobs each: means as far apart as chance and the weather make them, and a step in the hours. */
  const drawn = (step: (index: number) => number): readonly MonthScores[] =>
    Array.from({ length: 12 }, (_, i) => {
      const mean = () => random.normal() * Math.sqrt(0.02 ** 2 + 0.04 / 15);
      const months = modelNames.map(
        (model) => month(i, mean() + (model === 'labour' ? step(i) : 0), 15, model).models[model],
      );
      const [passes, labour, water, drying] = months;
      return { ...month(i, 0), models: { passes, labour, water, drying } };
    });

  it('cries for nothing in at most one shop of a hundred', () => {
    const alarmed = Array.from({ length: 2000 }, () => drifts(drawn(() => 0))).filter((found) => found.length > 0);
    // 20 of 2,000 is one of a hundred; 34 is what chance alone exceeds once in a thousand times then.
    expect(alarmed.length).toBeLessThanOrEqual(34);
  });

  it('nine times in ten the months that it names hold the one in which it began', () => {
    let [found, held] = [0, 0];
    for (let shop = 0; shop < 400; shop++) {
      const began = 4 + (shop % 6);
      const [drift] = drifts(drawn((i) => (i < began ? 0 : 0.2))).filter(({ model }) => model === 'labour');
      if (drift === undefined) continue;
      found += 1;
      if (drift.began.some(({ month: name }) => name === month(began, 0).month)) held += 1;
    }
    expect(found).toBeGreaterThan(350);
    // Chance alone goes below 0.85 of so many once in a thousand times where 0.9 is right.
    expect(held / found).toBeGreaterThan(0.85);
  });
});
