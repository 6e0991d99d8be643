import { describe, expect, it } from 'vitest';
import { logNormalInterval, logStudentConstant, normalDensity } from '../../src/inference/normal.ts';
import { emptyRowTerm, normalTerm, type RowTerm, studentTerm } from '../../src/inference/row-term.ts';

const INF = Number.POSITIVE_INFINITY;
/** Ends of log y: exact, narrow, straddling, in each tail, one end open, far out. With eta 0.3 and scale 0.4 they fall on every branch. */
const ENDS: readonly (readonly [number, number])[] = [
  [0.5, 0.5],
  [-4, -4],
  [0.5, 0.50003],
  [0.5, 0.5001],
  [0.1, 0.9],
  [0.29, 0.301],
  [0.7, 1.1],
  [2.5, 2.6],
  [-1.5, -0.9],
  [0.6, INF],
  [-0.4, INF],
  [6, INF],
  [-INF, 0.6],
  [-INF, -0.4],
  [-INF, -6],
  [-INF, INF],
];
const ETA = 0.3;
const SCALE = 0.4;

describe('gradient: a row of the normal likelihood against central differences', () => {
  for (const [lower, upper] of ENDS) {
    it(`has the derivatives of its own values on [${lower}, ${upper}]`, () => {
      const at = (eta: number, logScale: number): RowTerm => {
        const term = emptyRowTerm();
        normalTerm(lower, upper, eta, Math.exp(logScale), term);
        return term;
      };
      expectDerivatives(at, true);
    });
  }
});

describe('gradient: a row of the Student likelihood against central differences', () => {
  for (const y of [0.3, 0.5, -3, 8]) {
    it(`has the derivatives of its own values at ${y}, curvature apart`, () => {
      const constant = logStudentConstant(4);
      const at = (eta: number, logScale: number): RowTerm => {
        const term = emptyRowTerm();
        studentTerm(y, eta, Math.exp(logScale), 4, constant, term);
        return term;
      };
      expectDerivatives(at, false);
    });
  }

  it('has the curvature that the squared slope has on average', () => {
    const term = emptyRowTerm();
    const constant = logStudentConstant(4);
    let expected = 0;
    const step = 0.01;
    for (let z = -300; z < 300; z += step) {
      studentTerm(ETA + SCALE * z, ETA, SCALE, 4, constant, term);
      expected += term.slope ** 2 * Math.exp(term.value) * SCALE * step;
    }
    expect(expected / term.curvature).toBeCloseTo(1, 8);
  });
});

describe('identity: a row of the normal likelihood', () => {
  it('is the logarithm of the interval probability', () => {
    const term = emptyRowTerm();
    for (const [lower, upper] of ENDS.filter(([a, b]) => b - a > 1e-3)) {
      normalTerm(lower, upper, ETA, SCALE, term);
      const expected = logNormalInterval((lower - ETA) / SCALE, (upper - ETA) / SCALE);
      expect(Math.abs(term.value - expected)).toBeLessThan(1e-12 * (1 + Math.abs(expected)));
    }
  });

  it('takes [t, a number beyond all data) for [t, ∞)', () => {
    const open = emptyRowTerm();
    const closed = emptyRowTerm();
    normalTerm(0.6, INF, ETA, SCALE, open);
    normalTerm(0.6, 60, ETA, SCALE, closed);
    for (const key of keysOf(open)) expect(closed[key]).toBeCloseTo(open[key], 12);
  });

  it('tends to density times width as the interval narrows', () => {
    const term = emptyRowTerm();
    for (const width of [1e-3, 1e-5, 1e-8]) {
      normalTerm(0.5 - width / 2, 0.5 + width / 2, ETA, SCALE, term);
      expect(Math.exp(term.value) / width / (normalDensity(0.5) / SCALE)).toBeCloseTo(1, 6);
    }
  });

  it('joins the narrow branch to the others without a step in value or derivatives', () => {
    const below = emptyRowTerm();
    const above = emptyRowTerm();
    const width = 1e-4 * SCALE;
    normalTerm(0.7, 0.7 + 0.9999 * width, ETA, SCALE, below);
    normalTerm(0.7, 0.7 + 1.0001 * width, ETA, SCALE, above);
    expect(above.value - below.value).toBeCloseTo(Math.log(1.0001 / 0.9999), 7);
    for (const key of keysOf(below).filter((k) => k !== 'value')) {
      expect(Math.abs(above[key] - below[key]), key).toBeLessThan(2e-6);
    }
  });

  it('keeps a finite value and a curvature that is not negative a thousand spreads away', () => {
    const term = emptyRowTerm();
    for (const [lower, upper] of [
      [400, INF],
      [-INF, -400],
      [400, 401],
      [-401, -400],
    ] as const) {
      normalTerm(lower, upper, ETA, SCALE, term);
      expect(Number.isFinite(term.value)).toBe(true);
      expect(term.curvature).toBeGreaterThanOrEqual(0);
      expect(Math.sign(term.slope)).toBe(Math.sign(lower + upper));
    }
  });
});

/** Five-point central differences in eta and log scale. */
function expectDerivatives(at: (eta: number, logScale: number) => RowTerm, observedCurvature: boolean): void {
  const logScale = Math.log(SCALE);
  const term = { ...at(ETA, logScale) };
  const byEta = (key: keyof RowTerm): number => difference((h) => at(ETA + h, logScale)[key]);
  const byLogScale = (key: keyof RowTerm): number => difference((h) => at(ETA, logScale + h)[key]);
  expectClose(term.slope, byEta('value'));
  if (observedCurvature) expectClose(term.curvature, -byEta('slope'));
  expectClose(term.curvatureSlope, byEta('curvature'));
  expectClose(term.byScale, byLogScale('value'));
  expectClose(term.slopeByScale, byLogScale('slope'));
  expectClose(term.curvatureByScale, byLogScale('curvature'));
}

function difference(f: (h: number) => number): number {
  const h = 1e-3;
  return (8 * (f(h) - f(-h)) - (f(2 * h) - f(-2 * h))) / (12 * h);
}

function expectClose(value: number, expected: number): void {
  expect(Math.abs(value - expected)).toBeLessThan(2e-7 * (1 + Math.abs(expected)));
}

const keysOf = (term: RowTerm): (keyof RowTerm)[] => Object.keys(term) as (keyof RowTerm)[];
