import { betaProbability } from './beta.ts';
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
  const tail = 0.5 * betaProbability(degrees / (degrees + z * z), degrees / 2, 0.5);
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

function logBeta(a: number, b: number): number {
  return logGamma(a) + logGamma(b) - logGamma(a + b);
}
