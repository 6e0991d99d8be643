import { affine, affinePoint, mapBetween } from '../inference/affine.ts';
import { factorOf, inverse, multiply, packedLength, solve } from '../inference/cholesky.ts';
import { dot } from '../inference/dot.ts';
import { mixtureMoments } from '../inference/mixture-moments.ts';
import type { Posterior, PosteriorPoint } from '../inference/types.ts';
import { columnCount, type Entries, type KnownTerms } from './layout.ts';
import type { FittedModel, ShopFit } from './shop-fit.ts';
import type { WaterForecast } from './water-forecast.ts';

/**
 * The drying model's coefficients where those of the water model are known: b = G w + a draw of `rest`, w the water coefficients. A drying
 * check tells of their sum, so the two must never be drawn apart.
 */
export interface DryingGivenWater {
  /** G: drying columns by water columns, row by row. */
  readonly onWater: Float64Array;
  readonly rest: Posterior;
}

export interface WaterAndDrying {
  /** With what the drying checks told of it. */
  readonly water: FittedModel;
  /** By itself, whatever the water. */
  readonly drying: FittedModel;
  readonly dryingGivenWater: DryingGivenWater;
}

/** The water model's coefficients as the drying model's first terms. */
export function knownWater({ layout, mean, covariance }: WaterForecast): KnownTerms {
  const n = columnCount(layout);
  const names = Array.from({ length: n }, (_, j) => `water ${layout.terms[j] ?? `effect ${j - layout.terms.length}`}`);
  return { names, mean, precision: inverse(factorOf(withFloor(covariance, n), n), n) };
}

/** No coefficient is known to better than a millionth of the least known: a rule with next to no spread would leave nothing to divide by. */
function withFloor(covariance: Float64Array, n: number): Float64Array {
  const floored = covariance.slice();
  const diagonal = Array.from({ length: n }, (_, j) => packedLength(j) + j);
  const floor = 1e-12 * Math.max(...diagonal.map((at) => covariance[at]));
  for (const at of diagonal) floored[at] += floor;
  return floored;
}

/**
 * The two models out of their joint fit, whose columns are the water coefficients w and the drying coefficients b. Without a drying check, or
 * with one of them taken over from elsewhere, the two are drawn apart.
 *
 * The water model came into the joint fit as one normal, N(m, L Lᵀ), and comes out with mean m′ and covariance A Aᵀ over the mixture. Each of
 * its points is moved by w′ = m′ + A L⁻¹ (w − m), the map of the one onto the other: it keeps its shape and learns from the checks. b is split
 * into its regression on w, the same at all points, and a rest with its own mean and covariance at each, so that both together have the joint
 * fit's means and covariances, but for the doubt about the physics (`lessOfLevel`).
 *
 * **Checked** tests/models/water-and-drying.test.ts, against the joint normal posterior in closed form
 */
export function separated(
  water: FittedModel,
  before: WaterForecast,
  fitted: FittedModel,
  level: DryingLevel,
): WaterAndDrying {
  const nDrying = columnCount(fitted.layout);
  const nWater = columnCount(water.layout);
  if (fitted.used === 0 || fitted.standIn !== undefined || water.standIn !== undefined) {
    const drying = { ...fitted, posterior: withoutFirst(fitted.posterior, fitted.posterior.nColumns - nDrying) };
    const onWater = new Float64Array(nDrying * nWater);
    return { water, drying, dryingGivenWater: { onWater, rest: drying.posterior } };
  }
  const joint = lessOfLevel(fitted.posterior, nWater, level);
  const { mean, covariance } = mixtureMoments(joint);
  const after = factorOf(covariance.subarray(0, packedLength(nWater)), nWater);
  const slopes = slopesOn(covariance, after, nWater, joint.nColumns);
  return {
    water: { ...water, posterior: moved(water.posterior, before, mean.subarray(0, nWater), after) },
    drying: { ...fitted, posterior: withoutFirst(joint, nWater) },
    dryingGivenWater: {
      onWater: Float64Array.from(slopes.flatMap((slope) => [...slope])),
      rest: restOf(joint, slopes),
    },
  };
}

/** What the rules say of the level of drying: a normal, and its column among those of the drying model. */
export interface DryingLevel {
  readonly column: number;
  readonly mean: number;
  readonly sd: number;
}

/** The physics of a bay may be off by a factor of two beyond the rule, in all its jobs alike. Common practice, no source. */
const physicsSd = Math.LN2;

/**
 * The joint fit, with less in it of what the checks tell of the level of the water: where all dries slower than the physics says, that is the
 * bay as likely as the litres. At each point the water coefficients w become what they would be had the level of drying been known that much
 * less well beforehand, a change of one entry of the precision; b given w stays as it was fitted, so that what the checks tell of both together
 * stands. Without it a shop that notes checks and no litres was told of half as much water again where drying is slow for other reasons.
 *
 * Source: M. Plummer, Cuts in Bayesian graphical models, Statistics and Computing 25 (2015) 37–43 (feedback held back from one module to another).
 */
function lessOfLevel(joint: Posterior, nWater: number, level: DryingLevel): Posterior {
  return { ...joint, points: joint.points.map((point) => lessOfLevelAt(point, nWater, level)) };
}

function lessOfLevelAt(point: PosteriorPoint, nWater: number, level: DryingLevel): PosteriorPoint {
  const { mode } = point;
  const n = mode.length;
  const covariance = inverse(point.precisionFactor, n);
  const at = nWater + level.column;
  const withLevel = (i: number) => covariance[i < at ? packedLength(at) + i : packedLength(i) + at];
  const [variance, wider] = [level.sd ** 2, level.sd ** 2 + physicsSd ** 2];
  const lost = 1 / variance - 1 / wider;
  const grown = lost / (variance / wider + lost * Math.max(0, variance - withLevel(at)));
  const ofWater = covariance.subarray(0, packedLength(nWater));
  const widened = ofWater.slice();
  for (let i = 0; i < nWater; i++)
    for (let j = 0; j <= i; j++) widened[packedLength(i) + j] += grown * withLevel(i) * withLevel(j);
  const before = factorOf(ofWater, nWater);
  const map = mapBetween(before, factorOf(widened, nWater), nWater);
  const stepOfWater = Float64Array.from(map, (_, i) => grown * withLevel(i) * (mode[at] - level.mean));
  const slopes = slopesOn(covariance, before, nWater, n);
  const rows = [...map.map((row) => padded(row, n)), ...slopes.map((slope, i) => alongWith(slope, map, nWater + i, n))];
  const step = [...stepOfWater, ...slopes.map((slope) => dot(slope, stepOfWater))];
  return affinePoint(
    point,
    rows,
    Float64Array.from(rows, (row, i) => mode[i] + step[i] - dot(row, mode)),
  );
}

function padded(row: Float64Array, n: number): Float64Array {
  const long = new Float64Array(n);
  long.set(row);
  return long;
}

/** b′ = b + G (w′ − w), w′ = M w. */
function alongWith(slope: Float64Array, map: readonly Float64Array[], column: number, n: number): Float64Array {
  const row = new Float64Array(n);
  slope.forEach((value, k) => {
    map[k].forEach((entry, j) => {
      row[j] += value * entry;
    });
    row[k] -= value;
  });
  row[column] = 1;
  return row;
}

/** How a linear predictor of drying moves with the water coefficients, by water column. */
export function inWaterColumns({ onWater, rest }: DryingGivenWater, drying: Entries): Entries {
  const nWater = onWater.length / rest.nColumns;
  const slopes = new Float64Array(nWater);
  for (const [column, value] of drying)
    for (let k = 0; k < nWater; k++) slopes[k] += value * onWater[column * nWater + k];
  return [...slopes].flatMap((slope, k) => (slope === 0 ? [] : [[k, slope] as const]));
}

/** A predictor of drying in the columns of both models: those of water, then those of drying. */
export function behindWater({ models }: Pick<ShopFit, 'models'>, drying: Entries): Entries {
  const nWater = columnCount(models.water.layout);
  return drying.map(([column, value]) => [nWater + column, value] as const);
}

/** Packed covariance of the coefficients of both models, in these columns. */
export function waterAndDryingCovariance({ models, dryingGivenWater }: ShopFit) {
  const { covariance: ofWater } = mixtureMoments(models.water.posterior);
  const { covariance: ofDrying } = mixtureMoments(models.drying.posterior);
  const nWater = columnCount(models.water.layout);
  const nDrying = columnCount(models.drying.layout);
  const covariance = new Float64Array(packedLength(nWater + nDrying));
  covariance.set(ofWater);
  for (let i = 0; i < nDrying; i++) {
    const row = packedLength(nWater + i);
    covariance.set(multiply(ofWater, nWater, dryingGivenWater.onWater.subarray(i * nWater, (i + 1) * nWater)), row);
    covariance.set(ofDrying.subarray(packedLength(i), packedLength(i + 1)), row + nWater);
  }
  return { covariance, nColumns: nWater + nDrying };
}

/** The columns behind the first: the last block of a precision's factor is that of their marginal precision. */
function withoutFirst(posterior: Posterior, nFirst: number): Posterior {
  if (nFirst === 0) return posterior;
  const n = posterior.nColumns - nFirst;
  const points = posterior.points.map((point) => {
    const last = new Float64Array(packedLength(n));
    for (let i = 0; i < n; i++) {
      const from = packedLength(nFirst + i) + nFirst;
      last.set(point.precisionFactor.subarray(from, from + i + 1), packedLength(i));
    }
    return { ...point, mode: point.mode.slice(nFirst), precisionFactor: last };
  });
  return { ...posterior, nColumns: n, points };
}

/** G, row by row: the regression of b on w, the first columns of a joint normal. */
function slopesOn(covariance: Float64Array, factorOfFirst: Float64Array, nFirst: number, n: number): Float64Array[] {
  return Array.from({ length: n - nFirst }, (_, i) => {
    const slope = covariance.slice(packedLength(nFirst + i), packedLength(nFirst + i) + nFirst);
    solve(factorOfFirst, nFirst, slope);
    return slope;
  });
}

/** b − G w. */
function restOf(joint: Posterior, slopes: readonly Float64Array[]): Posterior {
  const rest = slopes.map((slope, i) => {
    const row = new Float64Array(joint.nColumns);
    slope.forEach((value, k) => {
      row[k] = -value;
    });
    row[slope.length + i] = 1;
    return row;
  });
  return affine(joint, rest, new Float64Array(rest.length));
}

function moved(water: Posterior, before: WaterForecast, mean: Float64Array, after: Float64Array): Posterior {
  const n = water.nColumns;
  const map = mapBetween(factorOf(before.covariance, n), after, n);
  return affine(
    water,
    map,
    mean.map((value, i) => value - dot(map[i], before.mean)),
  );
}
