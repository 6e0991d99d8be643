import { HALF_LOG_2PI, logStudentKernel, millsRatio } from './normal.ts';

/** log-likelihood of one row and what the fit needs of its derivatives by eta and by log scale. */
export interface RowTerm {
  value: number;
  /** ∂ℓ/∂eta. */
  slope: number;
  /** −∂²ℓ/∂eta², or its expectation; never negative. */
  curvature: number;
  /** ∂curvature/∂eta. */
  curvatureSlope: number;
  /** ∂ℓ/∂log scale. */
  byScale: number;
  /** ∂slope/∂log scale. */
  slopeByScale: number;
  /** ∂curvature/∂log scale. */
  curvatureByScale: number;
}

export const emptyRowTerm = (): RowTerm => ({
  value: 0,
  slope: 0,
  curvature: 0,
  curvatureSlope: 0,
  byScale: 0,
  slopeByScale: 0,
  curvatureByScale: 0,
});

/**
 * Below this width in units of scale an interval is its midpoint's density times its width: the error, width²/24, is under 1e-9,
 * where the difference of two probabilities would have lost twelve digits in the third derivative.
 */
const NARROW = 1e-4;

/**
 * Normal error seen exactly, in an interval, or beyond one end (the other infinite).
 * With a, b the standardised ends and pa = φ(a)/D, pb = φ(b)/D, D = Φ(b) − Φ(a), every derivative is a polynomial in a, b, pa, pb; D itself is never
 * formed in a tail: φ is divided out first, so what remains are Mills' ratios (see `normal.ts`).
 *
 * **Shapes** writes into `term`, so that a pass over many rows makes no garbage.
 * **Checked** tests/inference/row-term.test.ts, against central differences
 */
export function normalTerm(lower: number, upper: number, eta: number, scale: number, term: RowTerm): void {
  const a = (lower - eta) / scale;
  const b = (upper - eta) / scale;
  if (b - a < NARROW) densityTerm(0.5 * (a + b), upper - lower, scale, term);
  else if (a > 0) tailTerm(a, b, 1, scale, term);
  else if (b < 0) tailTerm(-b, -a, -1, scale, term);
  else straddlingTerm(a, b, scale, term);
}

/**
 * Student's t seen exactly, curvature by its expectation (degrees + 1) / ((degrees + 3) scale²): the observed one turns negative in the tails and is nearly singular in small samples.
 * `constant` is `logStudentConstant(degrees)`.
 */
export function studentTerm(
  y: number,
  eta: number,
  scale: number,
  degrees: number,
  constant: number,
  term: RowTerm,
): void {
  const z = (y - eta) / scale;
  const weight = (degrees + 1) / (degrees + z * z);
  term.value = constant - Math.log(scale) + logStudentKernel(z, degrees);
  term.slope = (weight * z) / scale;
  term.curvature = (degrees + 1) / ((degrees + 3) * scale * scale);
  term.curvatureSlope = 0;
  term.byScale = weight * z * z - 1;
  term.slopeByScale = (-2 * degrees * weight * z) / ((degrees + z * z) * scale);
  term.curvatureByScale = -2 * term.curvature;
}

function densityTerm(z: number, width: number, scale: number, term: RowTerm): void {
  const precision = 1 / (scale * scale);
  term.value = -0.5 * z * z - HALF_LOG_2PI - Math.log(scale) + (width > 0 ? Math.log(width) : 0);
  term.slope = z / scale;
  term.curvature = precision;
  term.curvatureSlope = 0;
  term.byScale = z * z - 1;
  term.slopeByScale = (-2 * z) / scale;
  term.curvatureByScale = -2 * precision;
}

/** Both ends on one side: 0 < near < far, `sign` −1 where the lower tail was flipped into the upper. */
function tailTerm(near: number, far: number, sign: 1 | -1, scale: number, term: RowTerm): void {
  const decay = far === Number.POSITIVE_INFINITY ? 0 : Math.exp(0.5 * (near - far) * (near + far));
  const scaledProbability = millsRatio(near) - (decay > 0 ? decay * millsRatio(far) : 0);
  term.value = -0.5 * near * near - HALF_LOG_2PI + Math.log(scaledProbability);
  derivatives(near, decay > 0 ? far : 0, 1 / scaledProbability, decay / scaledProbability, scale, term);
  term.slope *= sign;
  term.curvatureSlope *= sign;
  term.slopeByScale *= sign;
}

/** Ends on both sides of the centre: the probability is one less two tails. */
function straddlingTerm(a: number, b: number, scale: number, term: RowTerm): void {
  const densityA = Math.exp(-0.5 * a * a - HALF_LOG_2PI);
  const densityB = Math.exp(-0.5 * b * b - HALF_LOG_2PI);
  const outside = (densityA > 0 ? densityA * millsRatio(-a) : 0) + (densityB > 0 ? densityB * millsRatio(b) : 0);
  term.value = Math.log1p(-outside);
  const probability = 1 - outside;
  derivatives(densityA > 0 ? a : 0, densityB > 0 ? b : 0, densityA / probability, densityB / probability, scale, term);
}

/** m_k = aᵏ pa − bᵏ pb; then ∂m_k/∂eta, ∂m_k/∂log scale follow from ∂a/∂eta = −1/scale, ∂a/∂log scale = −a. */
function derivatives(a: number, b: number, pa: number, pb: number, scale: number, term: RowTerm): void {
  const m0 = pa - pb;
  const m1 = a * pa - b * pb;
  const m2 = a * a * pa - b * b * pb;
  const m3 = a * a * a * pa - b * b * b * pb;
  const observed = m0 * m0 - m1;
  term.slope = m0 / scale;
  term.curvature = Math.max(0, observed) / (scale * scale);
  term.curvatureSlope = (m0 + 3 * m1 * m0 - m2 - 2 * m0 * m0 * m0) / (scale * scale * scale);
  term.byScale = m1;
  term.slopeByScale = (m2 - m0 * m1 - m0) / scale;
  term.curvatureByScale = (m1 - m3 + m1 * m1 + 2 * m0 * m2 - 2 * m0 * m0 * m1 - 2 * observed) / (scale * scale);
}
