import { describe, expect, it } from 'vitest';
import { type EwmaSettings, ewmaChart, ewmaHalfWidth, individualsChart } from '../../src/inference/control-chart.ts';
import { meanDeviationFactor, meanRangeFactor } from '../../src/inference/control-constants.ts';
import { normalProbability } from '../../src/inference/normal.ts';
import { randomGenerator } from '../../src/inference/random.ts';

describe('reference: NIST/SEMATECH e-Handbook 6.3.2.4, the EWMA example', () => {
  const values = [
    52.0, 47.0, 53.0, 49.3, 50.1, 47.0, 51.0, 50.1, 51.2, 50.5, 49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6,
    52.1,
  ];
  const settings: EwmaSettings = { lambda: 0.3, target: 50, sigma: 2.0539, width: 3, limits: 'settled' };

  it('gives the printed averages, to their two decimals', () => {
    const printed = [
      50.6, 49.52, 50.56, 50.18, 50.16, 49.21, 49.75, 49.85, 50.26, 50.33, 50.11, 49.36, 49.52, 50.05, 49.38, 49.92,
      50.73, 51.23, 51.94, 51.99,
    ];
    const chart = ewmaChart(values, settings);
    expect(chart.map(({ level }) => Number(level.toFixed(2)))).toEqual(printed);
    expect(chart[19]?.level).toBeCloseTo(51.9882432586446, 12);
  });

  it('gives the printed limits, no signal, and those of the first values as the exact formula has them', () => {
    // The handbook prints 52.5884 and 47.4115 (the lower one cut, not rounded).
    const [first] = ewmaChart(values, settings);
    expect(first?.upper).toBeCloseTo(52.5884317381266, 11);
    expect(first?.lower).toBeCloseTo(47.4115682618734, 11);
    expect(ewmaChart(values, settings).some(({ signal }) => signal)).toBe(false);
    const growing = ewmaChart(values, { ...settings, limits: 'growing' }).map(({ upper }) => upper);
    expect(growing[0]).toBeCloseTo(51.84851, 10);
    expect(growing[1]).toBeCloseTo(52.256394012124, 10);
    expect(growing[2]).toBeCloseTo(52.4314055707954, 10);
  });
});

describe('reference: NIST/SEMATECH e-Handbook 6.3.2.2, the individuals example', () => {
  const values = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1];

  it('gives the printed centre, moving range and limits with its three-digit d2 of 1.128', () => {
    const chart = individualsChart(values, 1.128);
    expect(chart.mean).toBeCloseTo(50.81, 12);
    expect(chart.meanRange).toBeCloseTo(1.8777777777778, 12);
    expect(chart.upper.toFixed(4)).toBe('55.8041');
    expect(chart.lower.toFixed(4)).toBe('45.8159');
    expect(chart.signals).toEqual([]);
    // printed with the factor 3.267, rounded from 3.26653
    expect(chart.rangeUpper).toBeCloseTo(6.1347, 2);
  });

  it('gives the limits of the exact d2 by default, and names the values outside', () => {
    const chart = individualsChart(values);
    expect(chart.upper).toBeCloseTo(55.80241168, 8);
    expect(chart.lower).toBeCloseTo(45.81758832, 8);
    expect(individualsChart([...values, 50, 51, 50, 51, 60]).signals).toEqual([14]);
  });
});

describe('reference: constants of control charts (exact values, as in any table of them)', () => {
  it.each([
    [2, 1.1283791671, 0.7978845608],
    [3, 1.6925687506, 0.8862269255],
    [4, 2.058750746, 0.9213177319],
    [5, 2.3259289473, 0.939985603],
  ])('of %d values', (n, d2, c4) => {
    expect(meanRangeFactor(n)).toBeCloseTo(d2, 9);
    expect(meanDeviationFactor(n)).toBeCloseTo(c4, 9);
  });
});

describe('reference: average run lengths of two-sided EWMA charts, settled limits, started at the target', () => {
  // R package spc 0.6.7, xewma.arl(l, c, mu, sided = "two") for shifts 0, .5, 1, 2; they agree with Lucas and Saccucci (1990).
  it.each([
    [0.1, 2.814, [499.58, 31.2974, 10.3307, 4.36225]],
    [0.2, 2.962, [499.735, 41.7644, 10.5417, 3.74344]],
    [0.4, 3.054, [499.951, 71.2005, 14.2628, 3.52152]],
  ])('with lambda %d and width %d, by the Markov chain on the limits of our chart', (lambda, width, expected) => {
    const settings: EwmaSettings = { lambda, target: 0, sigma: 1, width, limits: 'settled' };
    [0, 0.5, 1, 2].forEach((shift, i) => {
      expect(Math.abs(markovRunLength(settings, shift) / (expected[i] ?? 0) - 1)).toBeLessThan(1e-3);
    });
  });

  it('with lambda 0.2 and width 2.962, by running our chart on a shift of one', () => {
    const settings: EwmaSettings = { lambda: 0.2, target: 0, sigma: 1, width: 2.962, limits: 'settled' };
    const random = randomGenerator(11);
    const lengths = Array.from({ length: 4000 }, () => {
      const values = Float64Array.from({ length: 120 }, () => 1 + random.normal());
      return 1 + ewmaChart(values, settings).findIndex(({ signal }) => signal);
    });
    expect(Math.min(...lengths)).toBeGreaterThan(0);
    const mean = lengths.reduce((sum, length) => sum + length, 0) / lengths.length;
    // the run length's standard deviation is about 5.6: four standard errors are 0.36
    expect(Math.abs(mean - 10.5417)).toBeLessThan(0.36);
  });
});

/** Run length by Brook and Evans (1972): the average on a grid of cells between the limits, (I − Q) L = 1 by elimination. */
function markovRunLength(settings: EwmaSettings, shift: number, cells = 201): number {
  const half = ewmaHalfWidth(settings, 1);
  const width = (2 * half) / cells;
  const { lambda } = settings;
  const matrix = Array.from({ length: cells }, (_, i) => {
    const centre = -half + (i + 0.5) * width;
    const reach = (edge: number) => normalProbability((edge - (1 - lambda) * centre) / lambda - shift);
    const row = Float64Array.from({ length: cells + 1 }, (_, j) =>
      j === cells ? 1 : Number(i === j) - (reach(-half + (j + 1) * width) - reach(-half + j * width)),
    );
    return row;
  });
  return solve(matrix)[(cells - 1) / 2] ?? Number.NaN;
}

function solve(rows: Float64Array[]): number[] {
  const n = rows.length;
  for (let k = 0; k < n; k += 1) {
    const pivotRow = rows[k] as Float64Array; // within bounds
    for (let i = k + 1; i < n; i += 1) {
      const row = rows[i] as Float64Array; // within bounds
      const factor = row[k] / pivotRow[k];
      for (let j = k; j <= n; j += 1) row[j] -= factor * pivotRow[j];
    }
  }
  const solution = new Array<number>(n).fill(0);
  for (let i = n - 1; i >= 0; i -= 1) {
    const row = rows[i] as Float64Array; // within bounds
    let rest = row[n];
    for (let j = i + 1; j < n; j += 1) rest -= row[j] * (solution[j] ?? 0);
    solution[i] = rest / row[i];
  }
  return solution;
}
