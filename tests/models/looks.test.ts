import { describe, expect, it } from 'vitest';
import type { FinishedJob } from '../../src/domain/record.ts';
import { logStudentConstant, logStudentKernel } from '../../src/inference/normal.ts';
import { coefficientSummary } from '../../src/inference/summary.ts';
import { looksInWords } from '../../src/insight/teach/look-words.ts';
import { plannedWork } from '../../src/models/estimate/planned-work.ts';
import { simulateJob } from '../../src/models/estimate/simulate-job.ts';
import { fitShop } from '../../src/models/fit.ts';
import { termColumn } from '../../src/models/layout.ts';
import { aboutOneOfTheirOwn, usualTime, wetBefore } from '../../src/models/looks.ts';
import type { ShopFit } from '../../src/models/shop-fit.ts';
import { simulateShop } from '../support/simulate/shop.ts';

const now = new Date('2026-01-05');
const shop = simulateShop('lumps', 5, 120);

type Checks = NonNullable<FinishedJob['drying']>['checks'];

function fitOf(asNoted: (checks: Checks, job: FinishedJob) => Checks) {
  const records = shop.records.map((job) =>
    job.drying ? { ...job, drying: { ...job.drying, checks: asNoted(job.drying.checks, job) } } : job,
  );
  const result = fitShop({ records, technicians: shop.technicians, machines: shop.machines, now });
  if (result.status !== 'fitted') throw new Error('no fit');
  const { fit } = result;
  const { planned } = shop.plan(0);
  const hours = simulateJob(fit, plannedWork(fit, planned, { ...shop, now }), 4000).dryHours.sort();
  return { fit, records, hours: hours[2000] };
}

function levelSd({ models: { drying } }: ShopFit): number {
  const { coefficients } = coefficientSummary(drying.posterior);
  return coefficients[termColumn(drying.layout, 'int')].sd;
}

describe('recovery: looks that nobody noted', () => {
  const asMade = fitOf((checks) => checks);

  it('do not make it dry sooner where only the look that found it dry is noted', () => {
    const dryAlone = fitOf((checks) => checks.filter(({ dry }) => dry));
    expect(dryAlone.fit.looks.wetUntil).toBeGreaterThan(0);
    expect(dryAlone.hours / asMade.hours).toBeGreaterThan(0.75); // taken as single looks about 0.5
    expect(dryAlone.hours / asMade.hours).toBeLessThan(1.3);
    // However many dry looks there are, how long before them it was dry is the rules' guess, to 0.2, beside a level known to 0.3.
    expect(levelSd(dryAlone.fit)).toBeGreaterThan(1 / Math.hypot(1 / 0.2, 1 / 0.3));
    expect(levelSd(asMade.fit)).toBeLessThan(0.14);
    expect(looksInWords(dryAlone.fit, dryAlone.records)).toMatch(
      / nothing is noted but .* still wet at \d+ % of the hours noted/,
    );
    expect(looksInWords(asMade.fit, shop.records)).toBeNull();
  });

  it('are none where one job in five has a wet look noted, however often the first look finds it dry', () => {
    const firstAlone = fitOf((checks, { ref }) =>
      Number(ref.replace(/\D/g, '')) % 3 ? checks.filter(({ dry }) => dry) : checks,
    );
    expect(firstAlone.fit.looks.wetUntil).toBe(0);
  });

  it('are none where somebody looks the next morning, whatever the work was', () => {
    const nextMorning = fitOf((checks, { finishedAt }) => {
      if (checks.length === 0) return checks;
      const end = new Date(finishedAt);
      const hours = 32 - end.getUTCHours() - end.getUTCMinutes() / 60;
      return checks.some((check) => check.dry && check.hours <= hours) ? [{ hours, dry: true }] : [];
    });
    expect(nextMorning.fit.looks.wetUntil).toBe(0);
    expect(looksInWords(nextMorning.fit, nextMorning.records)).toMatch(/ a single look each/);
  });
});

describe('contract: what a look that found it dry tells of the time before', () => {
  it('is a part of its hours, and never more than a working day', () => {
    expect(wetBefore({ wetUntil: 0.5 }, 6)).toBe(3);
    expect(wetBefore({ wetUntil: 0.5 }, 62)).toBe(8);
    expect(wetBefore({ wetUntil: 0 }, 6)).toBe(0);
  });

  it('is weighed against times of their own, whose density is that of each given those before: Student’s t', () => {
    const values = [2.3, 2.9, 2.5, 1.7];
    let { mean, looks, variance, degrees } = usualTime;
    let sum = 0;
    for (const value of values) {
      const scale = Math.sqrt(variance * (1 + 1 / looks));
      sum += logStudentConstant(degrees) + logStudentKernel((value - mean) / scale, degrees) - Math.log(scale);
      const squares = degrees * variance + (looks / (looks + 1)) * (value - mean) ** 2;
      mean = (looks * mean + value) / (looks + 1);
      looks += 1;
      degrees += 1;
      variance = squares / degrees;
    }
    expect(aboutOneOfTheirOwn(values)).toBeCloseTo(sum, 10);
  });
});
