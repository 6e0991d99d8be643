import type { FinishedJob } from '../domain/record.ts';
import { methods, stains } from '../domain/vocabulary.ts';
import { betaQuantile } from '../inference/beta.ts';
import { isComeback, tellsShare } from '../models/comebacks.ts';
import { significant } from '../models/estimate/figure.ts';
import { jobReadings } from '../models/readings.ts';
import type { ShopFit } from '../models/shop-fit.ts';
import { doneSections, totalSurfaceM2 } from '../models/work-section.ts';
import type { Range } from './range.ts';

/** How often one kind of job came back, its rate held to the shop's where there are few. */
export interface ComebackRate {
  readonly kind: string;
  readonly jobs: number;
  readonly cases: number;
  readonly share: Range;
}

export interface ComebackReport {
  readonly answer: string;
  /** Jobs whose outcome was written down. */
  readonly jobs: number;
  readonly cases: number;
  readonly share: Range;
  readonly byMethod: readonly ComebackRate[];
  readonly byStain: readonly ComebackRate[];
  /** By litres a square metre left in, of the jobs that were measured. */
  readonly byWaterLeftIn: readonly ComebackRate[];
  readonly caution: string;
}

/** Common practice, no source: 3 in 100, worth ten jobs. A kind's own rate is held to the shop's by twenty. */
const rule = { share: 0.03, jobs: 10 };
const pooling = 20;

export const waterClasses = [
  { kind: 'under 0.25 L/m²', below: 0.25 },
  { kind: '0.25 to 0.5 L/m²', below: 0.5 },
  { kind: '0.5 L/m² and more', below: Number.POSITIVE_INFINITY },
] as const;

const caution =
  'Wick-back, smell, ring and still damp together. What came back was seen by the customer: a job nobody complained of is not proof that it was dry.';

/** Which jobs came back, by method, stain and water left in; partially pooled, so that one unlucky job does not shout. */
export function comebackReport(fit: ShopFit, records: readonly FinishedJob[]): ComebackReport {
  const known = records.filter(({ outcome }) => outcome?.comeback !== undefined);
  const cases = known.filter(isComeback).length;
  // Where only what came back was noted, it is counted, and no share is taken from it.
  const isTold = tellsShare({ jobs: known.length, cases });
  const [jobsRead, casesRead] = isTold ? [known.length, cases] : [0, 0];
  const shop = (casesRead + rule.share * rule.jobs) / (jobsRead + rule.jobs);
  const rate = (kind: string, jobs: readonly FinishedJob[]) => rateOf(kind, jobs, shop, isTold);
  const measured = known.flatMap((job) => {
    const litres = waterLeftIn(fit, job);
    return litres === undefined ? [] : [{ job, litres }];
  });
  const byWater = waterClasses.map(({ kind, below }, i) => {
    const from = i === 0 ? 0 : waterClasses[i - 1].below;
    return rate(
      kind,
      measured.filter(({ litres }) => litres >= from && litres < below).map(({ job }) => job),
    );
  });
  const report = {
    jobs: known.length,
    cases,
    share: rangeOf(casesRead + rule.share * rule.jobs, jobsRead - casesRead + (1 - rule.share) * rule.jobs),
    byMethod: methods.map((method) => rate(method, known.filter(uses(({ method: own }) => own === method)))),
    byStain: stains.map((stain) => rate(stain, known.filter(uses(({ stains: own }) => own.includes(stain))))),
    byWaterLeftIn: byWater,
    caution,
  };
  return { ...report, answer: answer(report) };
}

type Picks = (section: FinishedJob['sections'][number]) => boolean;

function uses(picks: Picks): (job: FinishedJob) => boolean {
  return ({ sections }) => sections.some(picks);
}

function rateOf(kind: string, jobs: readonly FinishedJob[], shop: number, isTold: boolean): ComebackRate {
  const cases = jobs.filter(isComeback).length;
  const [came, not] = isTold ? [cases, jobs.length - cases] : [0, 0];
  const share = rangeOf(came + pooling * shop, not + pooling * (1 - shop));
  return { kind, jobs: jobs.length, cases, share };
}

function rangeOf(a: number, b: number): Range {
  const at = (p: number) => significant(betaQuantile(p, a, b));
  return { p05: at(0.05), p50: at(0.5), p95: at(0.95) };
}

/** L/m² over everything that was measured on the job; undefined where nothing was. */
function waterLeftIn(fit: ShopFit, job: FinishedJob): number | undefined {
  const { readings } = jobReadings(job, doneSections(job, fit));
  if (readings.length === 0) return undefined;
  const litres = readings.reduce((sum, { litresLeft }) => sum + litresLeft, 0);
  return litres / readings.reduce((sum, { sections }) => sum + totalSurfaceM2(sections), 0);
}

/** Which jobs came back, in one sentence. */
export function comebackSentence({ jobs, cases, share, byWaterLeftIn }: Omit<ComebackReport, 'answer'>): string {
  if (jobs === 0) return 'No finished job says yet whether it came back: note it, also where it did not.';
  if (!tellsShare({ jobs, cases }))
    return `${cases} ${cases === 1 ? 'job' : 'jobs'} came back, and of none it was noted that nothing did, so how often cannot be told: note that too.`;
  const told = `${cases} of ${jobs} jobs with a known outcome came back (90 % range ${percent(share.p05)} to ${percent(share.p95)})`;
  const [dry, wet] = driestAndWettest(byWaterLeftIn);
  if (tooFew(dry, wet)) return `${told}; too few were measured to tell what the water left in does.`;
  return wet.share.p05 > dry.share.p95
    ? `${told}, those left wettest more often than those left driest.`
    : `${told}; there is no proof that those left wettest came back more often.`;
}

function answer(report: Omit<ComebackReport, 'answer'>): string {
  const [dry, wet] = driestAndWettest(report.byWaterLeftIn);
  if (tooFew(dry, wet) || !tellsShare(report)) return comebackSentence(report);
  return `${comebackSentence(report)} Of the wettest ${percent(wet.share.p50)} (90 % range ${percent(wet.share.p05)} to ${percent(wet.share.p95)}), of the driest ${percent(dry.share.p50)} (${percent(dry.share.p05)} to ${percent(dry.share.p95)}).`;
}

function driestAndWettest([driest, , wettest]: readonly ComebackRate[]) {
  return [driest, wettest] as const;
}

function tooFew(...rates: readonly ComebackRate[]): boolean {
  return rates.some(({ jobs }) => jobs < 8);
}

function percent(share: number): string {
  return `${(100 * share).toFixed(1)} %`;
}
