import { describe, expect, it } from 'vitest';
import { createRandom } from '../../seed/random.ts';
import type { FinishedJob } from '../../src/domain/record.ts';
import { quantiles } from '../../src/inference/quantile.ts';
import { forecastJob } from '../../src/insight/scoring/job-scores.ts';
import { plannedWork } from '../../src/models/estimate/planned-work.ts';
import { simulateJob } from '../../src/models/estimate/simulate-job.ts';
import { lostTerm } from '../../src/models/terms/water-terms.ts';
import { context, done, fitOf, seats } from './shop-under-test.ts';

// Invented: what two passes of one pair of hands leave in the cloth, and what of it each job loses on the way to the tank.
const inCloth = 0.33;
const aFifth = 0.2;

/** Small jobs and large ones, tanks read to a twentieth of a litre. */
function jobsThatLose(litres: number): readonly FinishedJob[] {
  const random = createRandom(7, 1);
  return Array.from({ length: 150 }, (_, i) => {
    const surfaceM2 = random.between(0.4, 2.5);
    const left = 2 * surfaceM2 * inCloth * random.spread(0.15) + litres;
    const toStep = (value: number) => Number((Math.round(value * 20) / 20).toFixed(2));
    const sprayedLitres = toStep(4 * surfaceM2);
    return done(
      `J-${i}`,
      { surfaceM2 },
      { sprayedLitres, recoveredLitres: Math.max(0, toStep(sprayedLitres - left)), finalVacuum: false },
    );
  });
}

function drawn(records: readonly FinishedJob[], surfaceM2: number) {
  const fit = fitOf(records);
  const plan = seats({ surfaceM2, dryPasses: 2 }, { technician: 'ann', finalVacuum: false });
  const { extractedLPerM2, tanksLPerM2, passes } = simulateJob(fit, plannedWork(fit, plan, context), 8000);
  const asMade = (draws: Float64Array) =>
    quantiles(
      draws.filter((_, d) => passes[0].made[d] === 2 && passes[1].made[d] === 2),
      [0.5],
    )[0];
  return { cloth: asMade(extractedLPerM2), tanks: asMade(tanksLPerM2) };
}

describe('recovery: tanks that tell more than stays in the cloth', () => {
  it.each([0, aFifth])(
    'a shop that loses %d L a job is told what stays in the cloth, and what its tanks will say',
    (lost) => {
      const records = jobsThatLose(lost);
      for (const surfaceM2 of [0.5, 2]) {
        const { cloth, tanks } = drawn(records, surfaceM2);
        expect(Math.abs(cloth / inCloth - 1), `cloth, ${surfaceM2} m² each: ${cloth}`).toBeLessThan(0.1);
        const told = inCloth + lost / (2 * surfaceM2);
        expect(Math.abs(tanks / told - 1), `tanks, ${surfaceM2} m² each: ${tanks} for ${told}`).toBeLessThan(0.1);
      }
    },
  );

  it('is scored against what was read: a job’s tanks, or its sections each for itself', () => {
    const fit = fitOf(jobsThatLose(aFifth));
    const own = { surfaceM2: 0.5, sprayedLitres: 2, recoveredLitres: 1.8 };
    const sections = done('sections', own, { finalVacuum: false });
    const tanks = done('tanks', { surfaceM2: 0.5 }, { sprayedLitres: 4, recoveredLitres: 3.5, finalVacuum: false });
    const typical = (job: FinishedJob) => forecastJob(fit, job, context).litres.quantile(0.5);
    expect(typical(tanks) / typical(sections)).toBeGreaterThan(1.3);
  });

  it('is no way to explain a surface that cannot be', () => {
    expect(lostTerm(0.5)).toBeLessThan(3.1);
    for (const slip of [0.3, 1e-3, 1e-300]) expect(lostTerm(slip)).toBe(lostTerm(0.5));
  });
});
