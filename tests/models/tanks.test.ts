import { describe, expect, it } from 'vitest';
import { createRandom } from '../../seed/random.ts';
import type { FinishedJob } from '../../src/domain/record.ts';
import { plannedWork } from '../../src/models/estimate/planned-work.ts';
import { simulateJob } from '../../src/models/estimate/simulate-job.ts';
import { decodeShopFit, encodeShopFit } from '../../src/models/fit-codec.ts';
import { jobReadings } from '../../src/models/readings.ts';
import { dryingLayout, dryingPredictor } from '../../src/models/rows/drying-rows.ts';
import { tanksVariance } from '../../src/models/rows/water-rows.ts';
import { rulesOfThumb } from '../../src/models/rules-of-thumb.ts';
import { shopView } from '../../src/models/shop-view.ts';
import { likeliestNoise, logVariance, tanksByRule } from '../../src/models/tanks.ts';
import { waterForecast } from '../../src/models/water-forecast.ts';
import { context, done, fitOf, machines, seats, technicians } from './shop-under-test.ts';

/** Invented: what stays in the cloth is a third of a litre a square metre within 15 %; some jobs are rinsed with twice as much as others. */
function jobsReadWithin(noise: number): readonly FinishedJob[] {
  const random = createRandom(11, 1);
  const fine = (litres: number) => Number(litres.toFixed(2));
  return Array.from({ length: 240 }, (_, i) => {
    const left = 2 * 0.33 * random.spread(0.15);
    const sprayed = left * random.between(3, 15);
    const off = () => 1 + noise * random.normal();
    const sprayedLitres = fine(sprayed * off());
    const recoveredLitres = Math.min(sprayedLitres, fine((sprayed - left) * off()));
    return done(`J-${i}`, { surfaceM2: 1 }, { sprayedLitres, recoveredLitres, finalVacuum: false });
  });
}

function viewOf(job: FinishedJob, noise: number) {
  const view = shopView([job], technicians, machines, rulesOfThumb);
  return { ...view, tanks: { ...view.tanks, noise } };
}

describe('recovery: what tanks are off', () => {
  it.each([0, 0.02])(
    'is found from how jobs spread that much and little went through: %d of what they hold',
    (noise) => {
      expect(Math.abs(fitOf(jobsReadWithin(noise)).tanks.noise - noise)).toBeLessThan(0.005);
    },
  );

  it('is no part of how jobs spread', () => {
    const sigmaOf = (noise: number) => {
      const { points } = fitOf(jobsReadWithin(noise)).models.water.posterior;
      return points.reduce((sum, { weight, sigma }) => sum + weight * sigma, 0);
    };
    // Taken for spread it would be 2.2 times as much.
    expect(sigmaOf(0.02) / sigmaOf(0)).toBeLessThan(1.4);
  });

  it('is told of a shop’s first readings too, where one of them is of a surface that cannot be', () => {
    const litres = { sprayedLitres: 8, recoveredLitres: 7 };
    const fit = fitOf([done('a', {}, litres), done('b', { surfaceM2: 1e-310 }, litres)]);
    expect(decodeShopFit(encodeShopFit(fit))).toEqual(fit);
  });

  it('is the rule’s where nothing was read, and where none can be fitted; of a few that can, theirs', () => {
    expect(fitOf([]).tanks).toEqual(tanksByRule);
    expect(likeliestNoise((noise) => (noise === 0.02 ? 0 : undefined))).toBeCloseTo(0.02, 12);
    expect(likeliestNoise(() => undefined)).toBe(tanksByRule.noise);
  });
});

describe('what tanks are off', () => {
  const job = done('a', { surfaceM2: 1 }, { sprayedLitres: 8, recoveredLitres: 7, finalVacuum: false });

  it('moves log litres as two readings with an error of their own do', () => {
    const view = viewOf(job, 0.005);
    const [reading] = jobReadings(job, view.jobs[0].sections).readings;
    const atRule = Math.sqrt(tanksVariance(view, view.jobs[0], reading));
    const litresByRule = (0.005 * Math.hypot(8, 7)) / atRule;
    const random = createRandom(12, 1);
    const [sprayed, recovered] = [8, 8 - litresByRule];
    const ofRule = { ...reading, throughLitres: Math.hypot(sprayed, recovered) };
    const logs = Array.from({ length: 20_000 }, () =>
      Math.log(sprayed * (1 + 0.005 * random.normal()) - recovered * (1 + 0.005 * random.normal())),
    );
    expect(Math.sqrt(tanksVariance(view, view.jobs[0], ofRule)) / sdOf(logs)).toBeCloseTo(1, 1);
  });

  it('is nothing of a section that was read for itself', () => {
    const own = done('b', { sprayedLitres: 4, recoveredLitres: 3.6 });
    const view = viewOf(own, 0.02);
    const { readings } = jobReadings(own, view.jobs[0].sections);
    expect(
      readings.filter(({ of }) => of === 'section').map((one) => tanksVariance(view, view.jobs[0], one)),
    ).toContain(0);
  });

  it('leaves a drying forecast the less sure of the litres: as read without it, as never read with much of it', () => {
    const water = waterForecast(fitOf([]).models.water);
    const layout = dryingLayout({ technicians: technicians.map(({ key }) => key) });
    const wet = { ...job, sprayedLitres: 10, recoveredLitres: 7 };
    const of = (record: FinishedJob, noise: number) => {
      const view = viewOf(record, noise);
      const found = dryingPredictor(view, layout, water, view.jobs[0]);
      if (!found) throw new Error('nothing was wetted');
      return found;
    };
    const { sprayedLitres: _, recoveredLitres: __, ...unread } = wet;
    const [exact, some, none] = [of(wet, 0), of(wet, 0.02), of(wet, 10)];
    const never = of(unread, 0);
    expect(exact.addedVariance).toBeLessThan(some.addedVariance);
    expect(some.addedVariance).toBeLessThan(never.addedVariance);
    expect(some.offset).toBeLessThan(exact.offset);
    expect(none.addedVariance).toBeCloseTo(never.addedVariance, 3);
    expect(none.offset).toBeCloseTo(never.offset, 3);
  });

  it('is in what the tanks are forecast to tell, not in what stays in the cloth', () => {
    const fit = fitOf([]);
    const noisy = { ...fit, tanks: { ...fit.tanks, noise: 0.03 } };
    const plan = seats({ surfaceM2: 2 }, { technician: 'ann' });
    const [own, more] = [fit, noisy].map((one) => simulateJob(one, plannedWork(one, plan, context), 4000));
    expect(more.extractedLPerM2).toEqual(own.extractedLPerM2);
    const variance = ({ tanksLPerM2 }: typeof own) => sdOf([...tanksLPerM2].map(Math.log)) ** 2;
    expect(variance(more) - variance(own)).toBeCloseTo(logVariance(noisy.tanks) - logVariance(fit.tanks), 2);
  });
});

function sdOf(values: readonly number[]): number {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  return Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / values.length);
}
