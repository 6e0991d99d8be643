import { predictorMoments } from '../../inference/predict.ts';
import { columnCount, type Entries, priorsOf } from '../layout.ts';
import { sparse } from '../rows/model-rows.ts';
import type { FittedModel, ShopFit } from '../shop-fit.ts';
import { inWaterColumns } from '../water-and-drying.ts';
import type { CentralCases } from './central-cases.ts';

/** How much of each figure is the shop's own records: 0 is rule of thumb alone, 1 would be records alone. */
export interface EvidenceShares {
  readonly passes: number;
  readonly labourHours: number;
  readonly water: number;
  readonly dryHours: number;
}

interface Variances {
  readonly withRecords: number;
  readonly byRules: number;
}

/** Share = max(0, 1 − Var(eta | records) / Var(eta | rules of thumb)); drying hangs on the water too, so it is their sum that counts. */
export function evidenceShares(fit: ShopFit, cases: CentralCases): EvidenceShares {
  return {
    passes: share(variances(fit, 'passes', cases.passes)),
    labourHours: hoursEvidence(fit, cases),
    water: share(variances(fit, 'water', cases.water)),
    dryHours: dryingEvidence(fit, cases),
  };
}

/** What drying hangs on: its own predictor, and that of the litres that dry, each in its model's columns. */
type WaterAndDrying = Pick<CentralCases, 'water' | 'drying'>;

/** The share of drying alone. */
export function dryingEvidence(fit: ShopFit, cases: WaterAndDrying): number {
  const water = variances(fit, 'water', cases.water);
  const drying = variances(fit, 'drying', cases.drying);
  return share({
    withRecords: water.withRecords + drying.withRecords + 2 * covarianceOfBoth(fit, cases),
    byRules: water.byRules + drying.byRules,
  });
}

/** Of the predictors of water and drying: the drying's moves with the water by its slopes on the water's coefficients. */
function covarianceOfBoth({ models, dryingGivenWater }: ShopFit, { water, drying }: WaterAndDrying): number {
  const rows = [{ entries: water }, { entries: inWaterColumns(dryingGivenWater, drying) }];
  const { posterior, layout } = models.water;
  return predictorMoments(posterior, sparse(rows, columnCount(layout))).covariance[1];
}

/** The share of the hours alone. */
export function hoursEvidence(fit: ShopFit, cases: Pick<CentralCases, 'labour'>): number {
  return share(variances(fit, 'labour', cases.labour));
}

function share({ withRecords, byRules }: Variances): number {
  return Math.max(0, Math.round(1000 * (1 - withRecords / byRules)) / 1000);
}

function variances(fit: ShopFit, name: keyof ShopFit['models'], entries: Entries): Variances {
  const model = fit.models[name];
  const byRules = priorVariance(fit, model, name, entries);
  // A model that learnt nothing is its prior; its few points would show that only roughly. Water learns from drying checks too.
  const learnt = model.used > 0 || (name === 'water' && fit.models.drying.used > 0);
  return { withRecords: learnt ? predictorVariance(model, entries) : byRules, byRules };
}

function predictorVariance({ posterior, layout }: FittedModel, entries: Entries): number {
  return predictorMoments(posterior, sparse([{ entries }], columnCount(layout))).variance[0];
}

/** In closed form: Σ x² Var(b) by the rules of thumb. */
function priorVariance(fit: ShopFit, model: FittedModel, name: keyof ShopFit['models'], entries: Entries): number {
  const variance = priorVariances.get(model) ?? columnVariances(fit, model, name);
  priorVariances.set(model, variance);
  const summed = new Float64Array(variance.length);
  for (const [column, value] of entries) summed[column] += value;
  let sum = 0;
  for (let j = 0; j < summed.length; j++) sum += summed[j] ** 2 * variance[j];
  return sum;
}

/** A fit answers many estimates. */
const priorVariances = new WeakMap<FittedModel, Float64Array>();

/** s² of the fixed terms, E[tau²] of people and extractors, which of a half-normal is its scale squared. */
function columnVariances({ rules }: ShopFit, { layout }: FittedModel, name: keyof ShopFit['models']): Float64Array {
  const { fixed, groups } = priorsOf(name, layout, rules);
  const variance = new Float64Array(columnCount(layout));
  fixed.sd.forEach((sd, column) => {
    variance[column] = sd ** 2;
  });
  for (const { first, count, tauScale } of groups) variance.fill((tauScale ?? 0) ** 2, first, first + count);
  return variance;
}
