import { HALF_LOG_2PI, millsRatios } from './normal.ts';
import type { RowTerm } from './row-term.ts';

/**
 * Below this width in units of scale an interval is its midpoint's density times its width: the error, width²/24, is under 1e-9,
 * where the difference of two probabilities would have lost twelve digits in the third derivative.
 */
const NARROW = 1e-4;

/** Rows given by their standardised ends, their width on the log scale and their scale; and a column for each part of their likelihood. */
export interface NormalTerms extends Readonly<Record<keyof RowTerm, Float64Array>> {
  readonly lower: Float64Array;
  readonly upper: Float64Array;
  readonly width: Float64Array;
  readonly scale: Float64Array;
  /** Mills' ratio at the size of each end. */
  readonly millsLower: Float64Array;
  readonly millsUpper: Float64Array;
}

export function emptyNormalTerms(n: number): NormalTerms {
  const column = (): Float64Array => new Float64Array(n);
  return {
    ...{ lower: column(), upper: column(), width: column(), scale: column() },
    ...{ millsLower: column(), millsUpper: column(), value: column(), byScale: column() },
    ...{ slope: column(), slopeByScale: column() },
    ...{ curvature: column(), curvatureSlope: column(), curvatureByScale: column() },
  };
}

/**
 * Normal error seen exactly, in an interval, or beyond one end (the other infinite), for the first `count` rows.
 * With a, b the standardised ends and pa = φ(a)/D, pb = φ(b)/D, D = Φ(b) − Φ(a), every derivative is a polynomial in a, b, pa, pb. With both ends on
 * one side D is never formed: the nearer end's φ is divided out first, so what remains are Mills' ratios (see `normal.ts`). Else it is one less two tails.
 *
 * **Shapes** reads and writes columns: a call a row with numbers would make garbage of each of them, which took a third of the time.
 * **Checked** tests/inference/row-term.test.ts, against central differences
 */
export function fillNormalTerms(terms: NormalTerms, count: number): void {
  const { lower, upper, width, scale, millsLower, millsUpper, value, byScale } = terms;
  const { slope, slopeByScale, curvature, curvatureSlope, curvatureByScale } = terms;
  millsRatios(lower, count, millsLower);
  millsRatios(upper, count, millsUpper);
  for (let k = 0; k < count; k++) {
    const a = lower[k];
    const b = upper[k];
    const perScale = 1 / scale[k];
    const perSquare = perScale * perScale;
    if (b - a < NARROW) {
      const z = 0.5 * (a + b);
      value[k] = -0.5 * z * z - HALF_LOG_2PI - Math.log(scale[k]) + (width[k] > 0 ? Math.log(width[k]) : 0);
      slope[k] = z * perScale;
      curvature[k] = perSquare;
      curvatureSlope[k] = 0;
      byScale[k] = z * z - 1;
      slopeByScale[k] = -2 * z * perScale;
      curvatureByScale[k] = -2 * perSquare;
      continue;
    }
    let pa = 0;
    let pb = 0;
    if (a > 0) {
      const decay = Math.exp(0.5 * (a - b) * (a + b));
      pa = 1 / (millsLower[k] - decay * millsUpper[k]);
      pb = decay * pa;
      value[k] = -0.5 * a * a - HALF_LOG_2PI - Math.log(pa);
    } else if (b < 0) {
      const decay = Math.exp(0.5 * (b - a) * (b + a));
      pb = 1 / (millsUpper[k] - decay * millsLower[k]);
      pa = decay * pb;
      value[k] = -0.5 * b * b - HALF_LOG_2PI - Math.log(pb);
    } else {
      const densityA = Math.exp(-0.5 * a * a - HALF_LOG_2PI);
      const densityB = Math.exp(-0.5 * b * b - HALF_LOG_2PI);
      const outside = densityA * millsLower[k] + densityB * millsUpper[k];
      pa = densityA / (1 - outside);
      pb = densityB / (1 - outside);
      value[k] = Math.log1p(-outside);
    }
    // m_k = aᵏ pa − bᵏ pb, an infinite end adding nothing; their own derivatives follow from ∂a/∂eta = −1/scale, ∂a/∂log scale = −a
    const endA = pa > 0 ? a : 0;
    const endB = pb > 0 ? b : 0;
    const m0 = pa - pb;
    const m1 = endA * pa - endB * pb;
    const m2 = endA * endA * pa - endB * endB * pb;
    const m3 = endA * endA * endA * pa - endB * endB * endB * pb;
    const observed = m0 * m0 - m1;
    slope[k] = m0 * perScale;
    curvature[k] = Math.max(0, observed) * perSquare;
    curvatureSlope[k] = (m0 + 3 * m1 * m0 - m2 - 2 * m0 * m0 * m0) * perSquare * perScale;
    byScale[k] = m1;
    slopeByScale[k] = (m2 - m0 * m1 - m0) * perScale;
    curvatureByScale[k] = (m1 - m3 + m1 * m1 + 2 * m0 * m2 - 2 * m0 * m0 * m1 - 2 * observed) * perSquare;
  }
}
