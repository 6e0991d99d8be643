import type { FinishedJob } from '../domain/record.ts';
import { methods, stains } from '../domain/vocabulary.ts';
import {
  type ComebackTally,
  comebackTally,
  countedJobs,
  kindShare,
  shopShare,
  silenceText,
} from '../models/comebacks.ts';
import { jobReadings } from '../models/readings.ts';
import type { ShopFit } from '../models/shop-fit.ts';
import { doneSections, totalSurfaceM2 } from '../models/work-section.ts';
import { betaRange, type Range } from './range.ts';

/** How often one kind of job came back, its rate held to that of the shop's other jobs where there are few. */
export interface ComebackRate extends ComebackTally {
  readonly kind: string;
  readonly share: Range;
}

export interface ComebackReport extends ComebackTally {
  readonly answer: string;
  readonly share: Range;
  readonly byMethod: readonly ComebackRate[];
  readonly byStain: readonly ComebackRate[];
  /** By litres a square metre left in, of the jobs that were measured. */
  readonly byWaterLeftIn: readonly ComebackRate[];
  readonly caution: string;
}

export const waterClasses = [
  { kind: 'under 0.25 L/m²', below: 0.25 },
  { kind: '0.25 to 0.5 L/m²', below: 0.5 },
  { kind: '0.5 L/m² and more', below: Number.POSITIVE_INFINITY },
] as const;

const caution =
  'Wick-back, smell, ring and still damp together. Jobs count that were finished between the first and the last whose outcome was noted, up to four weeks ago: of younger ones only what came back can be known yet, and after the last note silence may be that of a shop that notes no more. To say that you still do, note of a recent job that it did not come back. What came back was seen by the customer: a job nobody complained of is not proof that it was dry.';

/** Which jobs came back, by method, stain and water left in. */
export function comebackReport(fit: ShopFit, records: readonly FinishedJob[], now: Date): ComebackReport {
  const counted = countedJobs(records, now);
  const shop = comebackTally(counted);
  const rate = (kind: string, jobs: readonly FinishedJob[]) => rateOf(kind, jobs, shop);
  const measured = counted.flatMap((job) => {
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
  const { a, b } = shopShare(shop);
  const report = {
    ...shop,
    share: betaRange(a, b),
    byMethod: methods.map((method) => rate(method, counted.filter(uses(({ method: own }) => own === method)))),
    byStain: stains.map((stain) => rate(stain, counted.filter(uses(({ stains: own }) => own.includes(stain))))),
    byWaterLeftIn: byWater,
    caution,
  };
  return { ...report, answer: answer(report) };
}

type Picks = (section: FinishedJob['sections'][number]) => boolean;

function uses(picks: Picks): (job: FinishedJob) => boolean {
  return ({ sections }) => sections.some(picks);
}

function rateOf(kind: string, jobs: readonly FinishedJob[], shop: ComebackTally): ComebackRate {
  const tally = comebackTally(jobs);
  const { a, b } = kindShare(tally, shop);
  return { kind, ...tally, share: betaRange(a, b) };
}

/** L/m² over everything that was measured on the job; undefined where nothing was. */
function waterLeftIn(fit: ShopFit, job: FinishedJob): number | undefined {
  const { readings } = jobReadings(job, doneSections(job, fit));
  if (readings.length === 0) return undefined;
  const litres = readings.reduce((sum, { litresLeft }) => sum + litresLeft, 0);
  return litres / readings.reduce((sum, { sections }) => sum + totalSurfaceM2(sections), 0);
}

/** Which jobs came back and how many of the others are silence, then what water left in does. */
export function comebackSentence(report: Omit<ComebackReport, 'answer'>): string {
  const { jobs, cases, share, byWaterLeftIn } = report;
  if (jobs === 0)
    return 'No share can be told yet: note what comes back, and of a job now and then that it did not. Jobs finished between two such jobs count once they are four weeks old, as not come back where nothing was noted.';
  const range = `(90 % range ${percent(share.p05)} to ${percent(share.p95)})`;
  const told = [`${cases} of ${jobs} jobs came back ${range}`, silenceText(report)].filter(Boolean).join('; ');
  const [dry, wet] = driestAndWettest(byWaterLeftIn);
  if (tooFew(dry, wet)) return `${told}. Too few were measured to tell what the water left in does.`;
  return wet.share.p05 > dry.share.p95
    ? `${told}. Those left wettest came back more often than those left driest.`
    : `${told}. There is no proof that those left wettest came back more often.`;
}

function answer(report: Omit<ComebackReport, 'answer'>): string {
  const [dry, wet] = driestAndWettest(report.byWaterLeftIn);
  if (tooFew(dry, wet)) return comebackSentence(report);
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
