import { describe, expect, it } from 'vitest';
import { inverse, packedLength } from '../../src/inference/cholesky.ts';
import { mixtureMoments } from '../../src/inference/mixture-moments.ts';
import type { Posterior } from '../../src/inference/types.ts';
import { commonDraws } from '../../src/insight/machines/standardised.ts';
import { dryingRate, referenceLogRate } from '../../src/models/drying-air.ts';
import { estimateJob } from '../../src/models/estimate.ts';
import { decodeShopFit, encodeShopFit } from '../../src/models/fit-codec.ts';
import { summariseShopFit } from '../../src/models/fit-summary.ts';
import type { Layout } from '../../src/models/layout.ts';
import type { FittedModel } from '../../src/models/shop-fit.ts';
import { typicalAir } from '../../src/models/usual-air.ts';
import { separated, waterAndDryingCovariance } from '../../src/models/water-and-drying.ts';
import { waterForecast } from '../../src/models/water-forecast.ts';
import { simulateShop } from '../support/simulate/shop.ts';
import { context, done, fitOf, seats } from './shop-under-test.ts';

const now = new Date('2026-01-05T00:00:00Z');

describe('oracle: water and drying out of their joint fit, against the normal posterior in closed form', () => {
  // Water w ~ N(m, V) of two columns, drying b ~ N(0.1, 0.3²) of one, and a check that says w1 + 2 w2 + b = 1.4 ± 0.2.
  const m = [0.5, -0.2];
  const V = [
    [0.09, 0.03],
    [0.03, 0.05],
  ];
  const [b0, sb, y, s] = [0.1, 0.3, 1.4, 0.2];
  const x = [1, 2, 1];
  const priorOf = (ofLevel: number) => [
    [V[0][0], V[0][1], 0],
    [V[1][0], V[1][1], 0],
    [0, 0, ofLevel],
  ];
  // Gaussian conditioning in the columns (w1, w2, b): gain = C xᵀ / (x C xᵀ + s²).
  const conditioned = (ofLevel: number) => {
    const C = priorOf(ofLevel);
    const Cx = C.map((row) => row[0] * x[0] + row[1] * x[1] + row[2] * x[2]);
    const total = x[0] * Cx[0] + x[1] * Cx[1] + x[2] * Cx[2] + s * s;
    const off = y - (x[0] * m[0] + x[1] * m[1] + x[2] * b0);
    return {
      mean: [...m, b0].map((value, i) => value + (Cx[i] * off) / total),
      covariance: C.map((row, i) => row.map((value, j) => value - (Cx[i] * Cx[j]) / total)),
    };
  };
  const { mean, covariance } = conditioned(sb ** 2);

  // What the checks tell of the water when the physics may be off by a factor of two besides: the same with a level of as much less certainty.
  const doubted = conditioned(sb ** 2 + Math.LN2 ** 2);
  // The drying given the water stays that of the fit, b = G w + rest: its moments follow from those of the water.
  const G = solved(cholesky(covariance.slice(0, 2).map((row) => row.slice(0, 2))), covariance[2].slice(0, 2));
  const across = [0, 1].map((j) => G[0] * doubted.covariance[0][j] + G[1] * doubted.covariance[1][j]);
  const dryingMean = mean[2] + G[0] * (doubted.mean[0] - mean[0]) + G[1] * (doubted.mean[1] - mean[1]);
  const left = covariance[2][2] - G[0] * covariance[2][0] - G[1] * covariance[2][1];
  const dryingVariance = left + G[0] * across[0] + G[1] * across[1];

  // The same as the program has it: the precision of the posterior of (w, b), its mean.
  const precision = inverseOf3(priorOf(sb ** 2)).map((row, i) =>
    row.map((value, j) => value + (x[i] * x[j]) / (s * s)),
  );
  const factor = cholesky(precision);
  const priorPull = inverseOf3(priorOf(sb ** 2)).map((row) => row[0] * m[0] + row[1] * m[1] + row[2] * b0);
  const right = priorPull.map((value, i) => value + (x[i] * y) / (s * s));
  const joint = modelOf(single(solved(factor, right), factor), { terms: ['int'], technicians: [] });
  // The drying layout of one column is that of a newcomer alone, who stands for the level here.
  const drying = { ...joint, layout: { terms: [], technicians: [] } };
  const water = modelOf(single(m, cholesky(inverseOf(V))), { terms: ['int'], technicians: [] });
  const both = separated(water, waterForecast(water), drying, { column: 0, mean: b0, sd: sb });

  it('moves the water to its posterior, the level of drying doubted', () => {
    const moments = mixtureMoments(both.water.posterior);
    moments.mean.forEach((value, i) => {
      expect(value).toBeCloseTo(doubted.mean[i], 12);
      for (let j = 0; j <= i; j++)
        expect(moments.covariance[packedLength(i) + j]).toBeCloseTo(doubted.covariance[i][j], 12);
    });
  });

  it('gives the drying model by itself, and its covariance with the water', () => {
    const moments = mixtureMoments(both.drying.posterior);
    expect(moments.mean[0]).toBeCloseTo(dryingMean, 12);
    expect(moments.covariance[0]).toBeCloseTo(dryingVariance, 12);
    const { onWater, rest } = both.dryingGivenWater;
    onWater.forEach((slope, k) => {
      expect(slope).toBeCloseTo(G[k], 12);
    });
    expect(rest.points[0].mode[0]).toBeCloseTo(mean[2] - G[0] * mean[0] - G[1] * mean[1], 12);
    expect(inverse(rest.points[0].precisionFactor, 1)[0]).toBeCloseTo(left, 12);
  });
});

describe('contract: water and drying of a shop hang together', () => {
  const { records, technicians, machines } = simulateShop('lumps', 5, 80, { measuredShare: 0, checkedShare: 1 });
  const fit = fitOf(records, { technicians, machines, now });

  it('draws them jointly: the draws have the covariance of the fit', () => {
    const nDraws = 20_000;
    const { water, drying } = commonDraws(fit, nDraws);
    const { covariance } = waterAndDryingCovariance(fit);
    const nWater = fit.models.water.posterior.nColumns;
    const drawn = covarianceOf(water.values.subarray(0, nDraws), drying.values.subarray(0, nDraws));
    const said = covariance[packedLength(nWater)];
    expect(said).toBeLessThan(-0.01);
    // A correlation near −0.7 of 20,000 draws has a standard error of about a hundredth of the product of the deviations.
    expect(drawn / said).toBeGreaterThan(0.95);
    expect(drawn / said).toBeLessThan(1.05);
  });

  it('is sure of the hours until dry where eighty checks tell of nothing else, however open the litres are', () => {
    const estimate = estimateJob(fit, seats({}, { technician: 'tech-1', extractor: 'standard-1' }), {
      ...context,
      technicians,
      machines,
      now,
    });
    expect(estimate.dryHours.evidenceShare).toBeGreaterThan(0.7);
    expect(estimate.waterLPerM2.evidenceShare).toBeLessThan(0.6);
    expect(estimate.waterLPerM2.evidenceShare).toBeGreaterThan(0.2);
  });

  it('comes back from its text as it was', () => {
    expect(decodeShopFit(encodeShopFit(fit)).dryingGivenWater).toEqual(fit.dryingGivenWater);
  });

  it('has nothing in common without a check', () => {
    const { dryingGivenWater, models } = fitOf([], { technicians, machines, now });
    expect(dryingGivenWater.onWater.every((slope) => slope === 0)).toBe(true);
    expect(dryingGivenWater.rest).toEqual(models.drying.posterior);
  });
});

describe('contract: a shop that notes checks and no litres', () => {
  /** All of sixty jobs dry by this factor slower than the rules of thumb say. */
  const estimateWhereSlowBy = (factor: number) => {
    const rule = estimateJob(fitOf([]), seats({}, { technician: 'ann' }), context);
    const hours = factor * rule.dryHours.p50;
    const checks = [
      { hours: 0.93 * hours, dry: false },
      { hours: 1.07 * hours, dry: true },
    ];
    const drying = { aid: 'open-doors', airC: 20, rhPercent: 50, checks } as const;
    const fit = fitOf(Array.from({ length: 60 }, (_, i) => done(`J-${i}`, {}, { drying })));
    return { rule, own: estimateJob(fit, seats({}, { technician: 'ann' }), context) };
  };

  it('learns how slowly it dries, and takes little of it for litres', () => {
    const { rule, own } = estimateWhereSlowBy(2);
    expect(own.dryHours.p50 / rule.dryHours.p50).toBeGreaterThan(1.8);
    expect(own.waterLPerM2.p50 / rule.waterLPerM2.p50).toBeGreaterThan(1);
    expect(own.waterLPerM2.p50 / rule.waterLPerM2.p50).toBeLessThan(1.2);
  });
});

describe('recovery: how far drying goes with the litres and with the air', () => {
  const surfaceM2 = 3;
  /** Sixty jobs of one to five passes in air of 8 to 32 °C, whose litres grow with the passes, and whose hours grow with these powers of the litres and of what the air takes up. */
  const shopWith = ({ litres = 1, air = 1 }) =>
    Array.from({ length: 60 }, (_, i) => {
      const wetPasses = 1 + (i % 5);
      const airC = 8 + 4 * (i % 7);
      const chance = Math.sin(12.9898 * i) * 0.1;
      const perM2 = 0.35 * (wetPasses / 2) ** 0.9 * Math.exp(chance);
      const { logRate } = dryingRate({ aid: 'open-doors', airC, rhPercent: 50 }, typicalAir);
      const hours = 8 * (perM2 / 0.35) ** litres * Math.exp(air * (referenceLogRate - logRate));
      const left = Number((perM2 * surfaceM2).toFixed(2));
      return done(
        `J-${i}`,
        { wetPasses, surfaceM2: surfaceM2 / 2 },
        {
          sprayedLitres: Number((10 + left).toFixed(2)),
          recoveredLitres: 10,
          drying: {
            aid: 'open-doors',
            airC,
            rhPercent: 50,
            checks: [
              { hours: 0.93 * hours, dry: false },
              { hours: 1.07 * hours, dry: true },
            ],
          },
        },
      );
    });
  const learntOf = (term: 'lwater' | 'lair', powers: Parameters<typeof shopWith>[0]) => {
    const { terms } = summariseShopFit(fitOf(shopWith(powers))).models.drying;
    return terms.find((one) => one.term === term)?.mean ?? expect.fail('no such term');
  };

  it('is learnt where it is less than in proportion', () => {
    const ofLitres = learntOf('lwater', { litres: 0.6 });
    expect(ofLitres).toBeLessThan(-0.2);
    expect(ofLitres).toBeGreaterThan(-0.5);
    const ofAir = learntOf('lair', { air: 0.6 });
    expect(ofAir).toBeGreaterThan(0.25);
    expect(ofAir).toBeLessThan(0.5);
  });

  it('stays in proportion where it is', () => {
    expect(Math.abs(learntOf('lwater', {}))).toBeLessThan(0.1);
    expect(Math.abs(learntOf('lair', {}))).toBeLessThan(0.1);
  });
});

function single(mode: readonly number[], factor: readonly (readonly number[])[]): Posterior {
  const precisionFactor = Float64Array.from(factor.flatMap((row, i) => row.slice(0, i + 1)));
  const trace = { nObs: 1, newtonIterations: 1, marginalEvaluations: 1, gradientNorm: 0, logMarginal: 0, settings: {} };
  const point = { weight: 1, tau: Float64Array.of(0.1), sigma: 0.2, mode: Float64Array.from(mode), precisionFactor };
  return { name: 'one', nColumns: mode.length, error: { kind: 'normal' }, points: [point], trace };
}

function modelOf(posterior: Posterior, layout: Layout): FittedModel {
  return { layout, posterior, used: 1, leftOut: [], odd: [] };
}

function cholesky(matrix: readonly (readonly number[])[]): number[][] {
  const lower = matrix.map((row) => row.map(() => 0));
  matrix.forEach((row, i) => {
    for (let j = 0; j <= i; j++) {
      let sum = row[j];
      for (let k = 0; k < j; k++) sum -= lower[i][k] * lower[j][k];
      lower[i][j] = i === j ? Math.sqrt(sum) : sum / lower[j][j];
    }
  });
  return lower;
}

function solved(lower: readonly (readonly number[])[], right: readonly number[]): number[] {
  const x = [...right];
  for (let i = 0; i < x.length; i++) {
    for (let k = 0; k < i; k++) x[i] -= lower[i][k] * x[k];
    x[i] /= lower[i][i];
  }
  for (let i = x.length - 1; i >= 0; i--) {
    for (let k = i + 1; k < x.length; k++) x[i] -= lower[k][i] * x[k];
    x[i] /= lower[i][i];
  }
  return x;
}

function inverseOf([[a, b], [c, d]]: readonly (readonly number[])[]): number[][] {
  const determinant = a * d - b * c;
  return [
    [d / determinant, -b / determinant],
    [-c / determinant, a / determinant],
  ];
}

/** Of the prior: the two models are apart there. */
function inverseOf3(matrix: readonly (readonly number[])[]): number[][] {
  const [[a, b], [c, d]] = inverseOf([matrix[0], matrix[1]]);
  return [
    [a, b, 0],
    [c, d, 0],
    [0, 0, 1 / matrix[2][2]],
  ];
}

function covarianceOf(a: Float64Array, b: Float64Array): number {
  const mean = (values: Float64Array) => values.reduce((sum, value) => sum + value, 0) / values.length;
  const [ma, mb] = [mean(a), mean(b)];
  return a.reduce((sum, value, d) => sum + (value - ma) * (b[d] - mb), 0) / (a.length - 1);
}
