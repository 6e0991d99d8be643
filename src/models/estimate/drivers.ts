import { tableSurfaceM2 } from '../../domain/surface.ts';
import { meanSigma2, mixtureMoments } from '../../inference/mixture-moments.ts';
import { normalProbability } from '../../inference/normal.ts';
import { dryingRate, referenceLogRate } from '../drying-air.ts';
import { type Entries, type Layout, technicianColumn, termColumn } from '../layout.ts';
import type { FittedModel, ShopFit } from '../shop-fit.ts';
import { dryingTerms, referenceLogWater } from '../terms/drying-terms.ts';
import { labourTerms, referencePasses } from '../terms/labour-terms.ts';
import { passesTerms } from '../terms/passes-terms.ts';
import type { Driver } from '../terms/term.ts';
import { waterTerms } from '../terms/water-terms.ts';
import { contentMinutes, workContent } from '../work-content.ts';
import type { CentralCases } from './central-cases.ts';
import { driversInWords } from './drivers-in-words.ts';
import { nightsFactor } from './drying-clock.ts';
import { meanOf, significant } from './figure.ts';
import type { PlannedWork } from './planned-work.ts';
import type { PassesDraws } from './simulate-passes.ts';

/** What one circumstance does to a figure: a factor on it (for passes: on the effort behind them), and the amount that this adds, in the figure's own unit. */
export interface DriverPart {
  readonly driver: Driver | 'spread';
  readonly factor: number;
  readonly adds: number;
}

/** How a figure comes about: the typical job's, and what moved it from there; `typical` and all `adds` sum to `shown`. */
export interface Explanation {
  readonly typical: number;
  readonly parts: readonly DriverPart[];
  readonly shown: number;
}

/** By driver, what it adds on the log scale. */
type LogParts = ReadonlyMap<Driver, number>;

/** The figures to be explained: mean passes, and medians of the rest. */
export interface ShownFigures {
  readonly passes: number;
  readonly labourHours: number;
  readonly waterLPerM2: number;
  readonly dryHours: number;
}

/** The same, told in one sentence. */
interface ToldExplanation extends Explanation {
  readonly text: string;
}

export type Explanations = { readonly [Figure in keyof ShownFigures]: ToldExplanation };

/** The typical job: a sedan's front and rear seats, moderate soil, flat weave, seats out, extraction, a standard extractor. */
export function explain(
  fit: ShopFit,
  work: PlannedWork,
  cases: CentralCases,
  passesDrawn: readonly PassesDraws[],
  shown: ShownFigures,
): Explanations {
  const { passes, labour, water, drying } = fit.models;
  const ofPasses = logParts(passes, passesTerms, cases.passes);
  const ofLabour = add(logParts(labour, labourTerms, cases.labour), contentParts(work, passesDrawn));
  const ofWater = logParts(water, waterTerms, cases.water);
  const typical = (parts: LogParts) => parts.get('typical') ?? 0;
  const slope = mixtureMoments(drying.posterior).mean[termColumn(drying.layout, 'lwater')];
  const byDay = add(logParts(drying, dryingTerms, cases.drying), [
    ['water left in', (1 + slope) * (total(ofWater) - typical(ofWater))],
    ['air', referenceLogRate - dryingRate(work.job.drying ?? {}, fit.usualAir).logRate],
  ]);
  const typicalHours =
    typical(byDay) + typical(ofWater) + slope * (typical(ofWater) - referenceLogWater) - referenceLogRate;
  const hoursOfDay = Math.exp(typicalHours + total(byDay) - typical(byDay));
  const ofDrying = add(byDay, [['night', nightsFactor(fit.nights, work, shown.labourHours, hoursOfDay)]]);
  const effort = typical(ofPasses);
  return {
    passes: told(
      'passes',
      explanation((log) => meanPassesNeeded(effort + log, passes), ofPasses, shown.passes),
    ),
    labourHours: told(
      'labourHours',
      explanation(growing(typical(ofLabour) + Math.log(typicalMinutes() / 60)), ofLabour, shown.labourHours),
    ),
    waterLPerM2: told('waterLPerM2', explanation(growing(typical(ofWater)), ofWater, shown.waterLPerM2)),
    dryHours: told('dryHours', explanation(growing(typicalHours), ofDrying, shown.dryHours)),
  };
}

function told(figure: keyof ShownFigures, of: Explanation): ToldExplanation {
  return { ...of, text: driversInWords(figure, of) };
}

/**
 * Parts that add up on the log scale made to add up in the figure's unit: each adds its share of the way from the typical level to this
 * job's, which for a figure that grows exponentially is L · log(factor) with L the logarithmic mean of the two ends.
 * What is left to the figure shown (the spread of draws, sections that differ) is a part of its own.
 * Source: B. W. Ang, LMDI decomposition approach, Energy Policy 33 (2005) 867–871.
 */
export function explanation(levelAt: (log: number) => number, parts: LogParts, shown: number): Explanation {
  const moved = [...parts].filter(([driver, log]) => driver !== 'typical' && Math.abs(log) > negligible);
  const logSum = moved.reduce((sum, [, log]) => sum + log, 0);
  // Parts may cancel: then the way is no way, and its slope stands for the quotient.
  const way = Math.abs(logSum) > negligible ? logSum : negligible;
  const scale = (levelAt(way) - levelAt(0)) / way;
  const named = moved.map(([driver, log]) => ({
    driver,
    factor: significant(Math.exp(log)),
    adds: significant(scale * log),
  }));
  const byWeight = named.sort((a, b) => Math.abs(b.adds) - Math.abs(a.adds));
  const typical = significant(levelAt(0));
  const left = byWeight.reduce((rest, { adds }) => rest - adds, shown - typical);
  const spread = {
    driver: 'spread',
    factor: significant(shown / levelAt(logSum)),
    adds: Number(left.toFixed(10)),
  } as const;
  return { typical, parts: [...byWeight, spread], shown };
}

const negligible = 1e-6;

/** A figure whose logarithm the parts move. */
function growing(logTypical: number): (log: number) => number {
  return (log) => Math.exp(logTypical + log);
}

/** Mean of the whole passes that an effort of this logarithm needs, over what is left over between sections: 1 + Σ P(effort above k). */
function meanPassesNeeded(logEffort: number, { posterior }: FittedModel): number {
  const sigma = Math.sqrt(meanSigma2(posterior));
  let mean = 1;
  for (let k = 1; k <= mostCounted; k++) mean += normalProbability((logEffort - Math.log(k)) / sigma);
  return mean;
}

const mostCounted = 40;

/** Posterior means of the coefficients times the case, summed by driver. */
function logParts(
  model: FittedModel,
  terms: readonly { readonly driver: Driver }[],
  entries: Entries,
): Map<Driver, number> {
  const parts = new Map<Driver, number>();
  const means = mixtureMoments(model.posterior).mean;
  for (const [column, value] of entries) {
    const driver = driverOf(model.layout, terms, column);
    parts.set(driver, (parts.get(driver) ?? 0) + value * means[column]);
  }
  return parts;
}

/** Behind a model's own terms stand those of its level's past, which no planned work has; then people, then extractors. */
function driverOf(layout: Layout, terms: readonly { readonly driver: Driver }[], column: number): Driver {
  if (column < terms.length) return terms[column].driver;
  return column <= technicianColumn(layout, undefined) ? 'technician' : 'extractor';
}

/** The work content against the typical job's: what is there to clean, what is done again to be safe, and whether its seats come out. */
function contentParts({ sections, job }: PlannedWork, passes: readonly PassesDraws[]): [Driver, number][] {
  const made = passes.map((section) => meanOf(section.made));
  const called = passes.map(meanPassesCalledFor);
  const seatsOut = workContent(sections, true);
  const calledFor = contentMinutes(seatsOut, called);
  const withAll = contentMinutes(seatsOut, made);
  const asPlanned = contentMinutes(workContent(sections, job.seatsRemoved), made);
  return [
    ['surface and passes', Math.log(calledFor / typicalMinutes())],
    ['second passes to be safe', Math.log(withAll / calledFor)],
    ['seats in or out', Math.log(asPlanned / withAll)],
  ];
}

/** Passes made but for those that nothing needed. */
function meanPassesCalledFor({ needed, made }: PassesDraws): number {
  let sum = 0;
  for (let d = 0; d < made.length; d++) sum += Math.min(needed[d], made[d]);
  return sum / made.length;
}

function typicalMinutes(): number {
  const cloth = { fabric: 'flat-woven', soil: 'moderate', stains: [], method: 'extraction', brush: undefined } as const;
  const seat = (area: 'front-seat' | 'rear-bench', pieces: number) => ({
    ...cloth,
    area,
    pieces,
    surfaceM2: tableSurfaceM2(area, pieces, 'sedan'),
    dryPasses: undefined,
    leftIn: false,
    lastVacuum: 0,
  });
  const content = workContent([seat('front-seat', 2), seat('rear-bench', 1)], true);
  return contentMinutes(content, [referencePasses, referencePasses]);
}

function add(parts: LogParts, more: readonly (readonly [Driver, number])[]): LogParts {
  const sum = new Map(parts);
  for (const [driver, log] of more) sum.set(driver, (sum.get(driver) ?? 0) + log);
  return sum;
}

function total(parts: LogParts): number {
  return [...parts.values()].reduce((sum, log) => sum + log, 0);
}
