import { logGamma, logStudentConstant, logStudentKernel } from './normal.ts';

/**
 * Continuous ranked probability score of a Student t forecast with location and scale; NaN for one degree of freedom or
 * fewer, where it is infinite.
 *
 * **Source** Jordan, Krüger and Lerch, J. Stat. Softw. 90(12) (2019), appendix A:
 * z(2F(z) − 1) + 2f(z)(ν + z²)/(ν − 1) − 2√ν B(½, ν − ½) / ((ν − 1) B(½, ν/2)²), times the scale.
 * **Checked** tests/references/scores.test.ts
 */
export function crpsStudentT(y: number, degrees: number, location: number, scale: number): number {
  if (!(degrees > 1) || !(scale > 0)) return Number.NaN;
  const z = (y - location) / scale;
  const density = Math.exp(logStudentConstant(degrees) + logStudentKernel(z, degrees));
  const spread = Math.exp(logBeta(0.5, degrees - 0.5) - 2 * logBeta(0.5, degrees / 2));
  const centred = z * (2 * studentTProbability(z, degrees) - 1);
  return scale * (centred + (2 * (density * (degrees + z * z) - Math.sqrt(degrees) * spread)) / (degrees - 1));
}

/**
 * Distribution function of Student's t.
 *
 * **Source** the incomplete beta function, Abramowitz and Stegun 26.7.1 with 26.5.27.
 */
export function studentTProbability(z: number, degrees: number): number {
  const tail = 0.5 * regularisedBeta(degrees / (degrees + z * z), degrees / 2, 0.5);
  return z > 0 ? 1 - tail : tail;
}

/**
 * Its quantile, by bisection.
 *
 * **Shapes** `probability` in (0, 1).
 * **Checked** tests/references/scores.test.ts
 */
export function studentTQuantile(probability: number, degrees: number): number {
  if (probability < 0.5) return -studentTQuantile(1 - probability, degrees);
  let high = 1;
  while (studentTProbability(high, degrees) < probability) high *= 2;
  let low = 0;
  for (let step = 0; step < 60; step += 1) {
    const middle = 0.5 * (low + high);
    if (studentTProbability(middle, degrees) < probability) low = middle;
    else high = middle;
  }
  return 0.5 * (low + high);
}

/** I_x(a, b) by the continued fraction on the side where it converges fast (Lentz' method). */
function regularisedBeta(x: number, a: number, b: number): number {
  if (x <= 0) return 0;
  if (x >= 1) return 1;
  if (x > (a + 1) / (a + b + 2)) return 1 - regularisedBeta(1 - x, b, a);
  const front = Math.exp(a * Math.log(x) + b * Math.log1p(-x) - logBeta(a, b)) / a;
  return front / betaFraction(x, a, b);
}

/** The denominator 1 + d₁/(1 + d₂/(1 + …)) of Abramowitz and Stegun 26.5.8. */
function betaFraction(x: number, a: number, b: number): number {
  let value = 1;
  let c = 1;
  let d = 0;
  for (let i = 1; i <= 500; i += 1) {
    const m = i >> 1;
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    const odd = -((a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    const term = i % 2 === 0 ? even : odd;
    d = 1 / awayFromZero(1 + term * d);
    c = awayFromZero(1 + term / c);
    value *= c * d;
    if (Math.abs(c * d - 1) < 1e-16) return value;
  }
  return value;
}

function awayFromZero(value: number): number {
  return Math.abs(value) < 1e-300 ? 1e-300 : value;
}

function logBeta(a: number, b: number): number {
  return logGamma(a) + logGamma(b) - logGamma(a + b);
}
