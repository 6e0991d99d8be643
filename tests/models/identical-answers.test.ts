import { describe, expect, it } from 'vitest';
import type { FinishedJob } from '../../src/domain/record.ts';
import { estimateJob } from '../../src/models/estimate.ts';
import { fitShop } from '../../src/models/fit.ts';
import { decodeShopFit, encodeShopFit } from '../../src/models/fit-codec.ts';
import { minutesReadingSd } from '../../src/models/minutes.ts';
import { modelNames } from '../../src/models/shop-fit.ts';
import { context, done, fitOf, machines, now, seats, technicians } from './shop-under-test.ts';

/** One job over and over: the same minutes, passes, litres and drying checks. */
const alike = (nJobs: number, minutes: number): FinishedJob[] =>
  Array.from({ length: nJobs }, (_, i) =>
    done(
      `same-${i}`,
      { dryPasses: 1 },
      {
        labour: [{ technician: 'ann', minutes }],
        sprayedLitres: 4,
        recoveredLitres: 2.5,
        drying: {
          aid: 'open-doors',
          airC: 20,
          rhPercent: 50,
          checks: [
            { hours: 4, dry: false },
            { hours: 6, dry: true },
          ],
        },
      },
    ),
  );

describe('contract: a shop whose records all say the same', () => {
  const cases = [10, 50, 120].flatMap((nJobs) => [180, 187, 195, 210].map((minutes) => ({ nJobs, minutes })));

  it.each(cases)('has all four models fitted: $nJobs jobs of $minutes minutes', ({ nJobs, minutes }) => {
    const fit = fitOf(alike(nJobs, minutes));
    expect(modelNames.filter((name) => fit.models[name].standIn)).toEqual([]);
    const estimate = estimateJob(fit, seats({}, { technician: 'ann' }), context);
    const { labourHours, waterLPerM2, dryHours, sections } = estimate;
    // Within 3 % of what every job took, and no surer than the five minutes to which anybody knows a job's time.
    expect(Math.abs(labourHours.p50 / (minutes / 60) - 1)).toBeLessThan(0.03);
    expect(labourHours.p90 - labourHours.p10).toBeGreaterThan(5 / 60);
    // 1.5 litres in 3.3 m²; dry between the fourth hour and the sixth.
    expect(waterLPerM2.p10).toBeLessThan(0.46);
    expect(waterLPerM2.p90).toBeGreaterThan(0.46);
    expect(waterLPerM2.p90 / waterLPerM2.p10).toBeGreaterThan(1.2);
    expect(dryHours.p50).toBeGreaterThan(4);
    expect(dryHours.p50).toBeLessThan(6);
    expect(dryHours.p90 / dryHours.p10).toBeGreaterThan(1.2);
    const [one, two] = sections[0].passesMade;
    expect(two.chance).toBeGreaterThan(0.75);
    expect(two.chance).toBeLessThan(1);
    expect(one.chance).toBeGreaterThan(0);
  });
});

describe('the step in which minutes are written', () => {
  const of = (minutes: readonly number[]) =>
    minutesReadingSd(minutes.map((m, i) => done(`m${i}`, {}, { labour: [{ technician: 'ann', minutes: m }] })));

  it('is the coarsest of which nearly all minutes are multiples: its even spread against the middle job', () => {
    expect(of([180, 195, 210, 225, 240])).toBeCloseTo(15 / Math.sqrt(12) / 210, 12);
    expect(of([60, 120, 120, 180, 240])).toBeCloseTo(60 / Math.sqrt(12) / 120, 12);
    expect(of([181, 197, 212, 229, 240])).toBeCloseTo(5 / Math.sqrt(12) / 212, 12);
  });

  it('is not read off one or two jobs, and is nothing without any', () => {
    expect(of([180, 240])).toBeCloseTo(5 / Math.sqrt(12) / 240, 12);
    expect(of([])).toBe(0);
  });
});

describe('contract: a model that cannot be fitted', () => {
  const sound = alike(20, 200);
  /** So sure of a spread that no search can move it. */
  const rules = { 'water.sigma': { mean: Math.log(0.18), sd: 1e-200 } };

  it('is taken from the rules of thumb, with the reason, where nothing was learnt before; the others are learnt', () => {
    const fit = fitOf(sound, { rules });
    expect(fit.models.water.standIn).toMatchObject({ from: 'rules of thumb' });
    expect(fit.models.water.standIn?.reason).toContain('not finite (20 rows');
    expect(fit.models.water.used).toBe(0);
    expect(fit.models.water.posterior.points).toEqual(fitOf([], { rules }).models.water.posterior.points);
    for (const name of ['passes', 'labour', 'drying'] as const) {
      expect(fit.models[name].standIn).toBeUndefined();
      expect(fit.models[name].used).toBeGreaterThanOrEqual(20);
    }
    expect(decodeShopFit(encodeShopFit(fit)).models.water.standIn).toEqual(fit.models.water.standIn);
  });

  it('is taken from the fit before where there is one', () => {
    const before = fitOf(sound);
    const fit = fitOf(sound, { rules, warmStart: before });
    expect(fit.models.water.standIn?.from).toBe('the fit before');
    expect(fit.models.water.posterior).toEqual(before.models.water.posterior);
  });

  it('keeps the shop from a fit where it is every model', () => {
    const impossible = { mean: 0, sd: 1e-200 };
    const rules = Object.fromEntries(modelNames.map((name) => [`${name}.int`, impossible]));
    const result = fitShop({ records: sound, technicians, machines, rules, now });
    expect(result.status).toBe('failed');
    if (result.status === 'failed') expect(result.failures.map(({ model }) => model)).toEqual([...modelNames]);
  });
});
