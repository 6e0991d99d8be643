/** Rows of a design matrix by their non-zero entries: row i holds `column[rowStart[i] .. rowStart[i + 1])`, sorted, each column once. */
export interface SparseRows {
  readonly nRows: number;
  readonly nColumns: number;
  readonly rowStart: Int32Array;
  readonly column: Int32Array;
  readonly value: Float64Array;
}

/**
 * What was seen of log y, one entry a row.
 * `lower = upper` is exact; `-Infinity` below or `Infinity` above is censored; anything else is an interval.
 */
export interface Observations {
  readonly lower: Float64Array;
  readonly upper: Float64Array;
  readonly offset: Float64Array;
  /** Variance of a row beside sigma², on the log scale; normal errors only. Absent: none. */
  readonly addedVariance?: Float64Array;
  /** Part of sigma² that a row's error has, 0 where its variance is all its own; normal errors only. Absent: all of it. */
  readonly ofSigma2?: Float64Array;
}

/** Columns `first .. first + count` share one spread: u ~ N(0, tau²), tau ~ half-normal(tauScale). */
export interface GroupBlock {
  readonly name: string;
  readonly first: number;
  readonly count: number;
  readonly tauScale: number;
}

export type ErrorDistribution =
  | { readonly kind: 'normal' }
  | { readonly kind: 'student-t'; readonly degreesOfFreedom: number };

interface FixedTerms {
  readonly names: readonly string[];
  readonly mean: Float64Array;
  /** Infinity is a flat prior. */
  readonly sd: Float64Array;
  /** Packed precision, about their means, of the first so many terms together: what is known of them from elsewhere. Absent: nothing. */
  readonly precision?: Float64Array | undefined;
}

/** One log-scale regression: eta = offset + x·beta + Σ u_g, log y = eta + error. Columns not in a group are fixed terms. */
export interface RegressionProblem {
  readonly name: string;
  readonly rows: SparseRows;
  readonly observations: Observations;
  readonly error: ErrorDistribution;
  /** Prior of the fixed terms, the first columns in order. */
  readonly fixed: FixedTerms;
  readonly groups: readonly GroupBlock[];
  /**
   * log sigma ~ N(logMean, logSd²). `readingSd` is what reading to a step adds to every row (absent: nothing): the error's scale is
   * √(sigma² + readingSd²), so that rows that all say the same do not make it vanish.
   */
  readonly sigma: { readonly logMean: number; readonly logSd: number; readonly readingSd?: number | undefined };
}

/** One point of the design over the spreads: a normal approximation of the coefficients given the spreads there. */
export interface PosteriorPoint {
  readonly weight: number;
  readonly tau: Float64Array;
  /** The error's scale, reading included. */
  readonly sigma: number;
  readonly mode: Float64Array;
  /** Packed lower Cholesky factor L of the precision of the coefficients (H = L Lᵀ): row i starts at i(i+1)/2. */
  readonly precisionFactor: Float64Array;
}

/** The posterior: a weighted mixture of normals. With no records the points are drawn from the priors of the spreads. */
export interface Posterior {
  readonly name: string;
  readonly nColumns: number;
  readonly error: ErrorDistribution;
  readonly points: readonly PosteriorPoint[];
  readonly trace: FitTrace;
}

export interface FitTrace {
  readonly nObs: number;
  readonly newtonIterations: number;
  readonly marginalEvaluations: number;
  readonly gradientNorm: number;
  readonly logMarginal: number;
  readonly settings: Readonly<Record<string, number | string>>;
}

/** A named result, not an exception: why no posterior could be had. */
export interface FitFailure {
  readonly status: 'failed';
  readonly reason: 'singular' | 'non-finite' | 'not-converged';
  readonly model: string;
  readonly term?: string;
  readonly nObs: number;
  readonly iterations: number;
  readonly gradientNorm: number;
  readonly message: string;
}

export type FitResult = { readonly status: 'fitted'; readonly posterior: Posterior } | FitFailure;
