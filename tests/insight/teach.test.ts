import { describe, expect, it } from 'vitest';
import type { FinishedJob } from '../../src/domain/record.ts';
import { jobFigures } from '../../src/insight/teach/job-figures.ts';
import { learningFrom } from '../../src/insight/teach/learning.ts';
import { type Suggestion, whatToRecord } from '../../src/insight/teach/what-to-record.ts';
import { fitShop } from '../../src/models/fit.ts';
import type { ShopFit } from '../../src/models/shop-fit.ts';
import { shopView } from '../../src/models/shop-view.ts';
import { waterAndDryingCovariance } from '../../src/models/water-and-drying.ts';
import { waterForecast } from '../../src/models/water-forecast.ts';
import { mainTechnician } from '../../src/models/work-section.ts';
import { done, fitOf } from '../models/shop-under-test.ts';
import { simulateShop } from '../support/simulate/shop.ts';

const now = new Date('2026-01-05');
const full = simulateShop('strips', 21, 240, { measuredShare: 1, checkedShare: 1, readingStep: 0.1 });
const { technicians, machines } = full;
const fitted = (records: readonly FinishedJob[]): ShopFit => {
  const result = fitShop({ records, technicians, machines, now });
  if (result.status !== 'fitted') throw new Error(result.failures.map(({ message }) => message).join());
  return result.fit;
};
const told = (records: readonly FinishedJob[], fit = fitted(records)) =>
  whatToRecord(fit, { records, technicians, machines }, now);

const unmeasured = ({ sprayedLitres: _, recoveredLitres: __, ...job }: FinishedJob): FinishedJob => job;
const unchecked = (job: FinishedJob): FinishedJob => ({ ...job, drying: job.drying && { ...job.drying, checks: [] } });
const isOf = (technician: string) => (job: FinishedJob) => mainTechnician(job) === technician;
const isMeasured = (job: FinishedJob) => job.sprayedLitres !== undefined;

/** Nobody's litres but tech-2's, on twenty jobs; drying checks on every other job. */
const twos = full.records.filter((job) => isOf('tech-2')(job) && isMeasured(job)).slice(0, 20);
const base = full.records.map((job, i) => {
  const checked = i % 2 === 0 ? job : unchecked(job);
  return twos.includes(job) ? checked : unmeasured(checked);
});
const baseFit = fitted(base);
const report = told(base, baseFit);
const find = (note: Suggestion['note'], key: string, of: Suggestion['of'] = 'technician') =>
  report.suggestions.find((one) => one.note === note && one.of === of && one.key === key);

/** The base with ten more of somebody's jobs measured: those that were read in truth. */
function withTenMore(technician: string): readonly FinishedJob[] {
  const more = full.records.filter((job, i) => isOf(technician)(job) && isMeasured(job) && !isMeasured(base[i]));
  const ten = more.slice(0, 10);
  expect(ten.length).toBe(10);
  return full.records.map((job, i) =>
    ten.includes(job)
      ? { ...base[i], sprayedLitres: job.sprayedLitres, recoveredLitres: job.recoveredLitres }
      : base[i],
  );
}

/** The base with ten more of somebody's jobs checked while they dried. */
function withTenChecks(technician: string): readonly FinishedJob[] {
  const isChecked = (job: FinishedJob) => (job.drying?.checks.length ?? 0) > 0;
  const ten = full.records
    .filter((job, i) => isOf(technician)(job) && isChecked(job) && !isChecked(base[i]))
    .slice(0, 10);
  expect(ten.length).toBe(10);
  return full.records.map((job, i) => (ten.includes(job) ? { ...base[i], drying: job.drying } : base[i]));
}

/** Mean variance of the forecasts of one figure over the shop's jobs, as a fit has it. */
function meanVariance(fit: ShopFit, figure: 'water' | 'drying'): number {
  const { surfaceRatios, dryHabits, readingSteps } = fit;
  const view = { ...shopView(base, technicians, machines, fit.rules), surfaceRatios, dryHabits, readingSteps };
  const forecast = waterForecast(fit.models.water);
  const { covariance, nColumns } = waterAndDryingCovariance(fit);
  const learning = learningFrom(covariance, nColumns);
  const variances = view.jobs.flatMap((done) => {
    const figures = jobFigures(fit, view, forecast, done);
    return figures === undefined ? [] : [learning.variance(figures[figure])];
  });
  return variances.reduce((sum, value) => sum + value, 0) / variances.length;
}

describe('identity: what records would teach, against adding them and fitting again', () => {
  const goneOf = (records: readonly FinishedJob[], figure: 'water' | 'drying') =>
    1 - meanVariance(fitted(records), figure) / meanVariance(baseFit, figure);
  const gone = (technician: string) => goneOf(withTenMore(technician), 'water');

  it('finds more to learn from somebody never measured than from one with twenty jobs', () => {
    const [ones, more] = [find('litres', 'tech-1'), find('litres', 'tech-2')];
    expect(ones?.jobsSoFar).toBe(0);
    expect(ones?.narrowsWater).toBeGreaterThan(3 * (more?.narrowsWater ?? 0));
    expect(gone('tech-1')).toBeGreaterThan(3 * gone('tech-2'));
  });

  it('ranks litres against drying checks as refitting does for the water; the hours until dry both tell of', () => {
    const [litres, checks] = [find('litres', 'tech-1'), find('drying checks', 'tech-1')];
    const [ofLitres, ofChecks] = [withTenMore('tech-1'), withTenChecks('tech-1')];
    expect(litres?.narrowsWater).toBeGreaterThan(checks?.narrowsWater ?? Number.NaN);
    expect(goneOf(ofLitres, 'water')).toBeGreaterThan(goneOf(ofChecks, 'water'));
    // Which tells more of these hangs on the shop: refitted, litres do in five of ten such shops (DEVELOPERS.md).
    expect(Math.min(litres?.narrowsDrying ?? 0, checks?.narrowsDrying ?? 0)).toBeGreaterThan(0);
    expect(goneOf(ofLitres, 'drying')).toBeGreaterThan(0.02);
    expect(goneOf(ofChecks, 'drying')).toBeGreaterThan(0.02);
  });
});

describe('contract: what to record', () => {
  it('tells a shop without litres to read its tanks first', () => {
    const { answer, suggestions } = told(full.records.map((job) => unchecked(unmeasured(job))));
    expect(suggestions[0]).toMatchObject({ note: 'litres', jobsSoFar: 0 });
    expect(answer).toContain('Read the tanks');
    expect(suggestions[0].narrowsWater).toBeGreaterThan(0.1);
    expect(suggestions[0].narrowsDrying).toBeGreaterThan(0.03);
  });

  it('asks for drying checks where there are litres but no checks', () => {
    const [first] = told(full.records.map(unchecked)).suggestions;
    expect(first).toMatchObject({ note: 'drying checks', jobsSoFar: 0 });
    expect(first.narrowsDrying).toBeGreaterThan(first.narrowsWater);
  });

  it('does not ask for more of somebody measured on many jobs, and ranks by what both figures gain', () => {
    const all = told(full.records).suggestions;
    expect(all.filter(({ note, of }) => note === 'litres' && of === 'technician')).toEqual([]);
    const gains = report.suggestions.map((one) => one.narrowsWater + one.narrowsDrying);
    expect(gains).toEqual(gains.toSorted((a, b) => b - a));
    expect(report.suggestions.length).toBeGreaterThan(3);
  });

  it('takes checks to come with the drying aid that those so far name: jobs without them say nothing of it', () => {
    const silent = full.records.map((job, i) => (i % 3 < 2 ? job : { ...job, drying: undefined }));
    const saying = silent.map((job, i) => ({ ...job, drying: job.drying ?? unchecked(full.records[i]).drying }));
    const byPerson = (records: readonly FinishedJob[]) =>
      told(records).suggestions.filter(({ note, of }) => note === 'drying checks' && of === 'technician');
    const most = (records: readonly FinishedJob[]) =>
      Math.max(0, ...byPerson(records).map(({ narrowsDrying }) => narrowsDrying));
    expect(most(silent)).toBeLessThan(most(saying) + 0.01); // read as they are, 0.053 against nothing
  });

  it('says where much of what is recorded is not in the fit in use, and would narrow the ranges by itself', () => {
    const before = base.slice(0, 100);
    expect(report.answer).not.toContain('without a new reading');
    expect(told(base, fitted(base.slice(0, -9))).answer).not.toContain('without a new reading');
    expect(told(base, fitted(before)).answer).toContain(
      'The fit in use has not read 140 of the 240 recorded jobs: they',
    );
    expect(told(base, fitted([])).answer).toContain('No fit is in use, so this is reckoned from the rules of thumb');
  });

  it('names people only while they are there', () => {
    const gone = technicians.map((one) => (one.key === 'tech-1' ? { ...one, until: '2025-12-01' } : one));
    const { suggestions } = whatToRecord(baseFit, { records: base, technicians: gone, machines }, now);
    expect(suggestions.some(({ key }) => key === 'tech-1')).toBe(false);
    expect(report.suggestions.some(({ key }) => key === 'tech-1')).toBe(true);
    const last = technicians.map((one) => (one.key === 'tech-1' ? { ...one, until: '2026-01-04' } : one));
    const keysIn = (timeZone: string) =>
      whatToRecord(baseFit, { records: base, technicians: last, machines, timeZone }, now).suggestions.map(
        ({ key }) => key,
      );
    expect(keysIn('Etc/UTC')).not.toContain('tech-1');
    expect(keysIn('America/Denver')).toContain('tech-1'); // 17:00 of the last day
  });

  it('says what to begin with where nothing is recorded', () => {
    expect(told([])).toMatchObject({ suggestions: [], mixJobs: 0 });
    expect(told([]).answer).toContain('note the first ones');
  });

  it('does not call the next jobs the first ones where there are jobs, but none of the last year', () => {
    const { answer } = whatToRecord(baseFit, { records: base, technicians, machines }, new Date('2027-02-01'));
    expect(answer).toMatch(/^No job of the last year is recorded, so/);
  });
});

describe('contract: people and extractors of one key', () => {
  it('are two: an extractor that is gone takes no name from a person who is there', () => {
    const lists = {
      technicians: [{ key: 'one', name: 'Odo' }],
      machines: [{ key: 'one', name: 'Big', kind: 'extractor', grade: 'standard', until: '2026-01-01' }] as const,
    };
    const records = Array.from({ length: 20 }, (_, i) =>
      done(`T-${i}`, {}, { labour: [{ technician: 'one', minutes: 210 }], extractor: 'one' }),
    );
    const { suggestions } = whatToRecord(fitOf(records, lists), { records, ...lists }, new Date('2026-05-01'));
    expect(suggestions.some(({ of, text }) => of === 'technician' && text.includes('ten more jobs of Odo'))).toBe(true);
    expect(suggestions.filter(({ of }) => of === 'extractor')).toEqual([]);
  });
});
