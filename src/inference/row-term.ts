import { logStudentKernel } from './normal.ts';

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
