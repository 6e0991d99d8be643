import { factorOf, inverse, multiply, packedLength, solve, solveUpper } from '../inference/cholesky.ts';
import { mixtureMoments } from '../inference/mixture-moments.ts';
import type { Posterior } from '../inference/types.ts';
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
 * fit's means and covariances.
 *
 * **Checked** tests/models/water-and-drying.test.ts, against the joint normal posterior in closed form
 */
export function separated(water: FittedModel, before: WaterForecast, joint: FittedModel): WaterAndDrying {
  const nDrying = columnCount(joint.layout);
  const nWater = columnCount(water.layout);
  const drying = { ...joint, posterior: withoutFirst(joint.posterior, joint.posterior.nColumns - nDrying) };
  if (joint.used === 0 || joint.standIn !== undefined || water.standIn !== undefined) {
    const onWater = new Float64Array(nDrying * nWater);
    return { water, drying, dryingGivenWater: { onWater, rest: drying.posterior } };
  }
  const { mean, covariance } = mixtureMoments(joint.posterior);
  const after = factorOf(covariance.subarray(0, packedLength(nWater)), nWater);
  const slopes = Array.from({ length: nDrying }, (_, i) => {
    const slope = covariance.slice(packedLength(nWater + i), packedLength(nWater + i) + nWater);
    solve(after, nWater, slope);
    return slope;
  });
  return {
    water: { ...water, posterior: moved(water.posterior, before, mean.subarray(0, nWater), after) },
    drying,
    dryingGivenWater: {
      onWater: Float64Array.from(slopes.flatMap((slope) => [...slope])),
      rest: restOf(joint.posterior, slopes),
    },
  };
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

/** b − G w. */
function restOf(joint: Posterior, slopes: readonly Float64Array[]): Posterior {
  const n = joint.nColumns;
  const rest = slopes.map((slope, i) => {
    const row = new Float64Array(n);
    slope.forEach((value, k) => {
      row[k] = -value;
    });
    row[slope.length + i] = 1;
    return row;
  });
  const points = joint.points.map((point) => ({
    ...point,
    mode: Float64Array.from(rest, (row) => dot(row, point.mode)),
    precisionFactor: precisionFactorOf(image(rest, inverse(point.precisionFactor, n)), slopes.length),
  }));
  return { ...joint, nColumns: slopes.length, points };
}

function moved(water: Posterior, before: WaterForecast, mean: Float64Array, after: Float64Array): Posterior {
  const n = water.nColumns;
  const map = movingMap(factorOf(before.covariance, n), after, n);
  const points = water.points.map((point) => {
    const off = point.mode.map((value, i) => value - before.mean[i]);
    return {
      ...point,
      mode: mean.map((value, i) => value + dot(map[i], off)),
      precisionFactor: precisionFactorOf(image(map, inverse(point.precisionFactor, n)), n),
    };
  });
  return { ...water, points };
}

/** Rows of A L⁻¹. */
function movingMap(before: Float64Array, after: Float64Array, n: number): readonly Float64Array[] {
  return Array.from({ length: n }, (_, i) => {
    const row = new Float64Array(n);
    row.set(after.subarray(packedLength(i), packedLength(i + 1)));
    solveUpper(before, n, row);
    return row;
  });
}

/** Packed M S Mᵀ. */
function image(rows: readonly Float64Array[], covariance: Float64Array): Float64Array {
  const n = rows[0].length;
  const result = new Float64Array(packedLength(rows.length));
  rows.forEach((row, i) => {
    const half = new Float64Array(n);
    for (let k = 0; k < n; k++)
      for (let m = 0; m <= k; m++) {
        const entry = covariance[packedLength(k) + m];
        half[m] += row[k] * entry;
        if (m < k) half[k] += row[m] * entry;
      }
    for (let j = 0; j <= i; j++) result[packedLength(i) + j] = dot(half, rows[j]);
  });
  return result;
}

function precisionFactorOf(covariance: Float64Array, n: number): Float64Array {
  return factorOf(inverse(factorOf(covariance, n), n), n);
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let k = 0; k < a.length; k++) sum += a[k] * b[k];
  return sum;
}
