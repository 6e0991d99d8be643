import { dryingRate } from '../drying-air.ts';
import type { Nights } from '../nights.ts';
import { latestStep } from '../reading-steps.ts';
import type { ShopFit } from '../shop-fit.ts';
import type { UsualAir } from '../usual-air.ts';
import { isExtracted } from '../work-section.ts';
import { logDraws } from './draw-arrays.ts';
import type { ShownFigures } from './drivers.ts';
import { openEnds } from './drying-clock.ts';
import { meanOf, narrowed } from './figure.ts';
import type { PlannedWork } from './planned-work.ts';
import type { JobDraws } from './simulate-job.ts';

/** What a plan may leave open; litres are never planned, but can be read as soon as the work is done. */
export type OpenPiece = 'technician' | 'extractor' | 'startAt' | 'airC' | 'rhPercent' | 'aid' | 'litres';

/** One open piece and one figure: how much narrower its range is to be expected, 0 to 1, were the piece known. */
export interface Narrowing {
  readonly piece: OpenPiece;
  readonly figure: keyof ShownFigures;
  readonly share: number;
  readonly text: string;
}

const pieceWords: Readonly<Record<OpenPiece, string>> = {
  technician: 'who does it',
  extractor: 'which extractor is used',
  startAt: 'when the work begins',
  airC: 'the air temperature while it dries',
  rhPercent: 'the humidity while it dries',
  aid: 'how it will be dried',
  litres: 'the litres left in, read from the tanks when the work is done,',
};

const figureWords: Readonly<Record<keyof ShownFigures, string>> = {
  passes: 'passes needed',
  labourHours: 'hours of labour',
  waterLPerM2: 'water left in',
  dryHours: 'hours until dry',
};

/** Below this part nobody would see the difference. */
const worthSaying = 0.03;

/**
 * What would narrow this estimate: for each piece that the plan left open, the part of each figure's variance that it carries.
 * Var(y) = E[Var(y | piece)] + Var(E[y | piece]), read off the draws that were made anyway: by group for who, with what and when, in closed form
 * for the air, whose gaps are a variance of their own, and by the straight line through log hours and log litres for the tanks,
 * blurred by the step in which they are read. The range goes with the standard deviation: share = 1 − √(E[Var(y | piece)] / Var(y)).
 * A surface from the table is taken as exact by the estimate; what its measuring would be worth is not known here.
 *
 * **Returns** the most telling first; nothing under 3 %.
 * **Checked** tests/models/would-narrow.test.ts, against estimates made anew with every value that a piece may have
 */
export function wouldNarrow(work: PlannedWork, draws: JobDraws, fit: HereSo): readonly Narrowing[] {
  const figures = figuresOf(work, draws);
  return [
    ...byOption(work, draws, figures),
    ...byStart(work, fit.nights, figures),
    ...byAir(work, fit.usualAir, draws),
    ...byLitres(work, draws, figures, latestStep(fit.readingSteps)),
  ]
    .filter(({ share }) => share >= worthSaying)
    .sort((a, b) => b.share - a.share)
    .map((one) => ({ ...one, text: inWords(one) }));
}

/** How the tanks are read here, what the air may be where the plan does not say, and when nights fall. */
type HereSo = Pick<ShopFit, 'readingSteps' | 'usualAir' | 'nights'>;

type Bare = Omit<Narrowing, 'text'>;

interface DrawnFigure {
  readonly figure: keyof ShownFigures;
  /** On the scale on which its range is judged: logarithms, and passes as they are. */
  readonly values: Float64Array;
  readonly variance: number;
}

function figuresOf({ sections }: PlannedWork, draws: JobDraws): readonly DrawnFigure[] {
  const passes = new Float64Array(draws.dryHours.length);
  draws.passes.forEach(({ needed }, s) => {
    for (let d = 0; d < passes.length; d++) passes[d] += sections[s].surfaceM2 * needed[d];
  });
  const drawn = (figure: keyof ShownFigures, values: Float64Array) => ({
    figure,
    values,
    variance: varianceOf(values),
  });
  return [
    drawn('passes', passes),
    drawn('labourHours', logDraws(draws.labourHours)),
    drawn('waterLPerM2', logDraws(draws.wettestLPerM2)),
    drawn('dryHours', logDraws(draws.dryHours)),
  ];
}

/** Who and with what: the draws fall into groups, one a way. */
function byOption(
  work: PlannedWork,
  { options: { technician, machine } }: JobDraws,
  figures: readonly DrawnFigure[],
): Bare[] {
  const nMachines = work.machines.length;
  if (work.technicians.length * nMachines === 1) return [];
  const shares = (piece: OpenPiece, ways: number, way: Uint16Array) =>
    figures.map(({ figure, values, variance }) => ({
      piece,
      figure,
      share: ways === 1 ? 0 : narrowed(betweenGroups(values, variance, way, ways) / variance),
    }));
  return [...shares('technician', work.technicians.length, technician), ...shares('extractor', nMachines, machine)];
}

/** Var(E[y | group]), less what means of so many draws differ by anyway. */
function betweenGroups(values: Float64Array, variance: number, group: Uint16Array, nGroups: number): number {
  const count = new Float64Array(nGroups);
  const sum = new Float64Array(nGroups);
  for (let d = 0; d < values.length; d++) {
    count[group[d]]++;
    sum[group[d]] += values[d];
  }
  const mean = sum.reduce((total, of) => total + of, 0) / values.length;
  let between = 0;
  for (let g = 0; g < nGroups; g++) if (count[g] > 0) between += count[g] * (sum[g] / count[g] - mean) ** 2;
  return Math.max(0, (between - (nGroups - 1) * variance) / values.length);
}

/** When it begins: the draws fall into groups, one an hour at which work ends here. What nights do to the hours is all that hangs on it. */
function byStart({ job }: PlannedWork, nights: Nights, figures: readonly DrawnFigure[]): Bare[] {
  if (job.startAt !== undefined || nights.logRate === 0) return [];
  const [{ figure, values, variance }] = figures.filter(({ figure }) => figure === 'dryHours');
  const between = betweenGroups(values, variance, openEnds(nights, values.length), nights.workEnds.length);
  return [{ piece: 'startAt', figure, share: narrowed(between / variance) }];
}

/** What was not said of the air is a variance of its own in the hours of the day until dry; on the clock, a night in between stretches it all alike. */
function byAir({ job }: PlannedWork, usual: UsualAir, { hoursOfDay }: JobDraws): Bare[] {
  const { unsaid } = dryingRate(job.drying ?? {}, usual);
  if (unsaid.length === 0) return [];
  const all = varianceOf(logDraws(hoursOfDay));
  return unsaid.map(({ piece, variance }) => ({ piece, figure: 'dryHours', share: narrowed(variance / all) }));
}

/** The tanks tell the water of all extracted sections together, to their step: two readings, each good to half of it. */
function byLitres(
  { sections }: PlannedWork,
  { tanksLPerM2 }: JobDraws,
  figures: readonly DrawnFigure[],
  readingStepL: number,
): Bare[] {
  const extractedM2 = sections.reduce((sum, section) => sum + (isExtracted(section) ? section.surfaceM2 : 0), 0);
  if (extractedM2 === 0) return [];
  const [dry] = figures.filter(({ figure }) => figure === 'dryHours');
  const litres = logDraws(tanksLPerM2);
  const variance = varianceOf(litres);
  const blur = (readingStepL / (Math.exp(meanOf(litres)) * extractedM2)) ** 2 / 6;
  const explained = covarianceOf(litres, dry.values) ** 2 / ((variance + blur) * dry.variance);
  return [{ piece: 'litres', figure: dry.figure, share: narrowed(explained) }];
}

function varianceOf(values: Float64Array): number {
  return covarianceOf(values, values);
}

/** In one pass, from the first entries: all are of one size, so nothing is lost to cancellation that matters here. */
function covarianceOf(a: Float64Array, b: Float64Array): number {
  const n = a.length;
  let sumA = 0;
  let sumB = 0;
  let products = 0;
  for (let d = 0; d < n; d++) {
    const fromA = a[d] - a[0];
    const fromB = b[d] - b[0];
    sumA += fromA;
    sumB += fromB;
    products += fromA * fromB;
  }
  return (products - (sumA * sumB) / n) / (n - 1);
}

function inWords({ piece, figure, share }: Bare): string {
  return `Knowing ${pieceWords[piece]} would narrow the range of ${figureWords[figure]} by about ${Math.round(100 * share)} %.`;
}
