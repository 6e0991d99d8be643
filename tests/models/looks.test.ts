import { describe, expect, it } from 'vitest';
import type { FinishedJob } from '../../src/domain/record.ts';
import { logStudentConstant, logStudentKernel } from '../../src/inference/normal.ts';
import { coefficientSummary } from '../../src/inference/summary.ts';
import { looksInWords } from '../../src/insight/teach/look-words.ts';
import { dryAloneTimes } from '../../src/models/dry-alone.ts';
import { plannedWork } from '../../src/models/estimate/planned-work.ts';
import { simulateJob } from '../../src/models/estimate/simulate-job.ts';
import { fitShop } from '../../src/models/fit.ts';
import { termColumn } from '../../src/models/layout.ts';
import { aboutOneOfTheirOwn, usualTime, wetBefore } from '../../src/models/looks.ts';
import type { ShopFit } from '../../src/models/shop-fit.ts';
import { mainTechnician } from '../../src/models/work-section.ts';
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

function wordsOf({ fit, records }: ReturnType<typeof fitOf>): string | null {
  return looksInWords(fit, { ...shop, records });
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
    expect(wordsOf(dryAlone)).toMatch(
      /^Of all \d+ jobs with drying checks nothing is noted but .* still wet at \d+ % of the hours noted/,
    );
    expect(wordsOf(asMade)).toBeNull();
  });

  it('are those of whoever does not note them', () => {
    const some = shop.technicians.filter((_, i) => i % 2 === 0);
    const keys = some.map(({ key }) => key);
    const bySome = fitOf((checks, job) =>
      keys.includes(mainTechnician(job)) ? checks.filter(({ dry }) => dry) : checks,
    );
    expect(bySome.hours / asMade.hours).toBeGreaterThan(0.75); // taken as single looks 0.58
    expect(bySome.hours / asMade.hours).toBeLessThan(1.2);
    const names = /^Of (?:all \d+|\d+ of \d+) jobs of (.*) with drying checks nothing is noted but/.exec(
      wordsOf(bySome) ?? '',
    )?.[1];
    expect(names?.split(', ').toSorted()).toEqual(some.map(({ name }) => name).toSorted());
  });

  it('are those of old sheets that were taken in before wet looks began to be noted', () => {
    const begun = shop.records[60].finishedAt;
    const takenIn = fitOf((checks, job) => (job.finishedAt < begun ? checks.filter(({ dry }) => dry) : checks));
    expect(takenIn.hours / asMade.hours).toBeGreaterThan(0.85); // taken as single looks 0.83
    expect(takenIn.hours / asMade.hours).toBeLessThan(1.15);
    expect(wordsOf(takenIn)).toMatch(/ jobs until 2025-\d\d-\d\d with drying checks nothing is noted but/);
  });

  it('are none where each job is looked at once and noted as it was', () => {
    const once = fitOf((checks) => checks.slice(0, 1));
    expect(once.fit.looks).toEqual({ wetUntil: 0, dryAlone: [] });
  });

  it('are none where ten looks in a row found it dry at once by chance, in a shop that notes wet ones', () => {
    const overWet = { technician: 1, factor: 1.35 };
    const ordinary = simulateShop('lumps', 148, 200, { wetSpread: 0, measuredShare: 0.75, readingStep: 0.5, overWet });
    expect(dryAloneTimes(ordinary.records)).not.toEqual([]);
    const result = fitShop({ ...ordinary, now });
    expect(result.status === 'fitted' && result.fit.looks).toEqual({ wetUntil: 0, dryAlone: [] }); // by their evidence alone a third
  });

  it('are none where somebody looks the next morning, whatever the work was', () => {
    const nextMorning = fitOf((checks, { finishedAt }) => {
      if (checks.length === 0) return checks;
      const end = new Date(finishedAt);
      const hours = 32 - end.getUTCHours() - end.getUTCMinutes() / 60;
      return checks.some((check) => check.dry && check.hours <= hours) ? [{ hours, dry: true }] : [];
    });
    expect(nextMorning.fit.looks.wetUntil).toBe(0);
    expect(wordsOf(nextMorning)).toMatch(/ a single look each/);
  });
});

describe('contract: what a look that found it dry tells of the time before', () => {
  it('is a part of its hours, and never more than a working day', () => {
    const [{ labour }] = shop.records;
    const at = (hour: number) => ({ labour, finishedAt: `2026-01-05T${hour}:00:00Z` });
    const dryAlone = [{ technician: mainTechnician({ labour }), from: at(10).finishedAt, until: at(12).finishedAt }];
    expect(wetBefore({ wetUntil: 0.5, dryAlone }, at(10), 6)).toBe(3);
    expect(wetBefore({ wetUntil: 0.5, dryAlone }, at(11), 62)).toBe(8);
    expect(wetBefore({ wetUntil: 0.5, dryAlone }, at(12), 6)).toBe(0);
    expect(wetBefore({ wetUntil: 0, dryAlone }, at(10), 6)).toBe(0);
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
