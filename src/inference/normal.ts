const SQRT_2 = Math.SQRT2;
const SQRT_HALF_PI = Math.sqrt(Math.PI / 2);
export const HALF_LOG_2PI = 0.5 * Math.log(2 * Math.PI);

/** Density of the standard normal. */
export function normalDensity(x: number): number {
  return Math.exp(-0.5 * x * x - HALF_LOG_2PI);
}

/** Φ(x), with full relative accuracy in the lower tail. */
export function normalProbability(x: number): number {
  return x > 0 ? 1 - tailProbability(x) : tailProbability(-x);
}

/** log Φ(x), finite for every finite x: the tail is φ times Mills' ratio, so its logarithm never meets a zero. */
export function logNormalProbability(x: number): number {
  return x > 0 ? Math.log1p(-tailProbability(x)) : -0.5 * x * x - HALF_LOG_2PI + Math.log(millsRatio(-x));
}

/**
 * log(Φ(upper) − Φ(lower)), lower < upper, either end infinite.
 * In the upper tail the sign is flipped: Φ(b) − Φ(a) = Φ(−a) − Φ(−b), where both terms are small and their difference keeps its digits.
 *
 * **Returns** −Infinity for an empty interval.
 * **Checked** tests/inference/normal.test.ts
 */
export function logNormalInterval(lower: number, upper: number): number {
  if (!(lower < upper)) return lower === upper ? Number.NEGATIVE_INFINITY : Number.NaN;
  if (lower > 0) return logTailInterval(lower, upper);
  if (upper < 0) return logTailInterval(-upper, -lower);
  return Math.log1p(-(tailProbability(-lower) + tailProbability(upper)));
}

/**
 * Mills' ratio (1 − Φ(x)) / φ(x) for x ≥ 0: what is left of a tail once its exponential is taken out.
 * Rational approximations of the scaled complementary error function.
 *
 * **Source** W. J. Cody, Rational Chebyshev approximations for the error function, Math. Comp. 23 (1969) 631–637.
 * **Checked** tests/inference/normal.test.ts, against 40-digit values to 1e-15 relative
 */
export function millsRatio(x: number): number {
  if (x === Number.POSITIVE_INFINITY) return 0;
  const t = x / SQRT_2;
  if (t <= 0.46875) return SQRT_HALF_PI * Math.exp(t * t) * (1 - smallErf(t));
  return SQRT_HALF_PI * (t <= 4 ? middleErfcx(t) : largeErfcx(t));
}

/**
 * Quantile of the standard normal: a rational start, then one step of Halley's method with the accurate Φ.
 *
 * **Returns** −Infinity at 0, Infinity at 1, NaN outside [0, 1].
 * **Source** the start: P. J. Acklam's approximation (relative error 1.15e-9), from memory; the step makes it exact to rounding.
 */
export function normalQuantile(p: number): number {
  if (!(p >= 0 && p <= 1)) return Number.NaN;
  if (p === 0) return Number.NEGATIVE_INFINITY;
  if (p === 1) return Number.POSITIVE_INFINITY;
  if (p > 0.5) return -lowerQuantile(1 - p);
  return lowerQuantile(p);
}

/** log density of Student's t at z with `degrees` of freedom, location 0, scale 1, without its constant: see `logStudentConstant`. */
export function logStudentKernel(z: number, degrees: number): number {
  return -0.5 * (degrees + 1) * Math.log1p((z * z) / degrees);
}

export function logStudentConstant(degrees: number): number {
  return logGamma(0.5 * (degrees + 1)) - logGamma(0.5 * degrees) - 0.5 * Math.log(degrees * Math.PI);
}

/** log Γ(x) for x > 0: raised above 10 by the recurrence, then Stirling's series. */
export function logGamma(x: number): number {
  let shift = 0;
  let y = x;
  while (y < 10) {
    shift += Math.log(y);
    y += 1;
  }
  const r = 1 / (y * y);
  const series = (1 / 12 - r * (1 / 360 - r * (1 / 1260 - r * (1 / 1680 - r * (1 / 1188))))) / y;
  return (y - 0.5) * Math.log(y) - y + HALF_LOG_2PI + series - shift;
}

function tailProbability(x: number): number {
  return x === Number.POSITIVE_INFINITY ? 0 : normalDensity(x) * millsRatio(x);
}

function logTailInterval(near: number, far: number): number {
  const ratio = far === Number.POSITIVE_INFINITY ? 0 : Math.exp(0.5 * (near - far) * (near + far)) * millsRatio(far);
  return -0.5 * near * near - HALF_LOG_2PI + Math.log(millsRatio(near) - ratio);
}

function lowerQuantile(p: number): number {
  const x = quantileStart(p);
  const tail = normalProbability(x);
  // (Φ(x) − p) / φ(x), formed so that the far tail neither underflows nor loses digits
  const error = ((tail - p) / tail) * millsRatio(-x);
  return x - error / (1 + 0.5 * x * error);
}

function quantileStart(p: number): number {
  if (p < 0.02425) {
    const q = Math.sqrt(-2 * Math.log(p));
    return (
      (((((-0.007784894002430293 * q - 0.3223964580411365) * q - 2.400758277161838) * q - 2.549732539343734) * q +
        4.374664141464968) *
        q +
        2.938163982698783) /
      ((((0.007784695709041462 * q + 0.3224671290700398) * q + 2.445134137142996) * q + 3.754408661907416) * q + 1)
    );
  }
  const q = p - 0.5;
  const r = q * q;
  return (
    ((((((-39.69683028665376 * r + 220.9460984245205) * r - 275.9285104469687) * r + 138.357751867269) * r -
      30.66479806614716) *
      r +
      2.506628277459239) *
      q) /
    (((((-54.47609879822406 * r + 161.5858368580409) * r - 155.6989798598866) * r + 66.80131188771972) * r -
      13.28068155288572) *
      r +
      1)
  );
}

function smallErf(t: number): number {
  const s = t * t;
  const above =
    (((0.18577770618460315 * s + 3.1611237438705655) * s + 113.86415415105016) * s + 377.485237685302) * s +
    3209.3775891384694;
  const below = (((s + 23.601290952344122) * s + 244.02463793444417) * s + 1282.6165260773723) * s + 2844.236833439171;
  return (t * above) / below;
}

function middleErfcx(t: number): number {
  const above =
    (((((((2.1531153547440383e-8 * t + 0.5641884969886701) * t + 8.883149794388377) * t + 66.11919063714163) * t +
      298.6351381974001) *
      t +
      881.952221241769) *
      t +
      1712.0476126340707) *
      t +
      2051.0783778260716) *
      t +
    1230.3393547979972;
  const below =
    (((((((t + 15.744926110709835) * t + 117.6939508913125) * t + 537.1811018620099) * t + 1621.3895745666903) * t +
      3290.7992357334597) *
      t +
      4362.619090143247) *
      t +
      3439.3676741437216) *
      t +
    1230.3393548037495;
  return above / below;
}

function largeErfcx(t: number): number {
  const r = 1 / (t * t);
  const above =
    ((((0.016315387137302097 * r + 0.30532663496123236) * r + 0.36034489994980445) * r + 0.12578172611122926) * r +
      0.016083785148742275) *
      r +
    0.0006587491615298378;
  const below =
    ((((r + 2.568520192289822) * r + 1.8729528499234673) * r + 0.5279051029514285) * r + 0.06051834131244132) * r +
    0.0023352049762686918;
  return (1 / Math.sqrt(Math.PI) - (r * above) / below) / t;
}
