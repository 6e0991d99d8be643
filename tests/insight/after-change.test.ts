import { describe, expect, it } from 'vitest';
import { type ComputedFit, computeFit, type FitMaterial } from '../../jobs/compute-fit.ts';
import type { FinishedJob } from '../../src/domain/record.ts';
import { levelChanges } from '../../src/insight/known-changes.ts';
import { scoreJob } from '../../src/insight/scoring/job-scores.ts';
import { fitShop } from '../../src/models/fit.ts';
import { decodeShopFit } from '../../src/models/fit-codec.ts';
import type { ShopFit } from '../../src/models/shop-fit.ts';
import { simulateShop } from '../support/simulate/shop.ts';

const now = new Date('2026-01-05');
const month = '2025-07';
const nJobs = 240;
const simulated = simulateShop('strips', 61, nJobs);
const { technicians, machines, records } = simulated;
const lists = { technicians, machines, timeZone: 'Etc/UTC', rules: {}, now };
const slower = (job: FinishedJob): FinishedJob => ({
  ...job,
  labour: job.labour.map((one) => ({ ...one, minutes: Math.round(1.3 * one.minutes) })),
});
const changed = records.map((job) => (job.finishedAt < `${month}-01` ? job : slower(job)));

function fitOf({ posterior }: ComputedFit): ShopFit {
  return decodeShopFit(posterior ?? expect.fail('no fit'));
}

function sumOfScores(fit: ShopFit, jobs: readonly FinishedJob[]): number {
  return jobs.reduce((sum, job) => sum + (scoreJob(fit, job, lists).labour?.score ?? 0), 0);
}

describe('recovery: a shop whose jobs take three tenths longer from a month on', () => {
  const material: FitMaterial = { ...lists, records: changed };
  const computed = computeFit(material);
  const fit = fitOf(computed);

  it('is reckoned with from that month, in the hours alone, and published', () => {
    expect([computed.status, computed.reason]).toEqual(['published', null]);
    expect(levelChanges(computed.scores?.changes ?? [])).toEqual({ labour: [month] });
    const { layout, posterior } = fit.models.labour;
    expect(layout.terms.at(-1)).toBe(`before ${month}`);
    expect(posterior.points[0].mode[layout.terms.length - 1]).toBeCloseTo(-Math.log(1.3), 1);
  });

  it('comes closer on the jobs to come than where it is not known, and as close as in a shop that was always so', () => {
    const coming = Array.from({ length: 60 }, (_, i) => slower(simulated.plan(i).record));
    const unaware = fitShop(material);
    const always = fitShop({ ...material, records: records.map(slower) });
    if (unaware.status !== 'fitted' || always.status !== 'fitted') throw new Error('no fit');
    const own = sumOfScores(fit, coming);
    expect(own).toBeLessThan(sumOfScores(unaware.fit, coming));
    expect(own).toBeLessThan(1.05 * sumOfScores(always.fit, coming));
  });

  it('a month’s forecasts know only what the months before had shown: made night by night they are the same', () => {
    let last: ComputedFit | undefined;
    for (const end of ['2025-06', '2025-07', '2025-08', '2025-10', '2026-01']) {
      const known = changed.filter(({ finishedAt }) => finishedAt.slice(0, 7) <= end);
      const former = { formerScores: last?.scores ?? undefined, published: last?.posterior ?? undefined };
      last = computeFit({ ...material, records: known, ...former });
      expect(levelChanges(last.scores?.changes ?? [])).toEqual(end <= month ? {} : { labour: [month] });
    }
    const figures = ({ scores }: ComputedFit) =>
      scores?.months.map(({ month, jobsKnown, models }) => [month, jobsKnown, Math.round(100 * models.labour.score)]);
    expect(figures(last ?? expect.fail())).toEqual(figures(computed));
  });
});

describe('contract: a shop in which nothing changed', () => {
  it('has the fit that it always had, to the last digit', () => {
    const material = { ...lists, records };
    const computed = computeFit(material);
    expect(computed.scores?.changes).toEqual([]);
    const plain = fitShop(material);
    if (plain.status !== 'fitted') throw new Error('no fit');
    expect(fitOf(computed)).toEqual(plain.fit);
  });
});
