import { describe, expect, it } from 'vitest';
import { normalProbability } from '../../src/inference/normal.ts';
import { randomGenerator } from '../../src/inference/random.ts';
import {
  crpsLogNormal,
  crpsNormal,
  intervalScore,
  logScoreNormal,
  pinballLoss,
  rankedProbabilityScore,
} from '../../src/inference/scores.ts';
import { intervalLogScore, sequentialBrierScore } from '../../src/inference/scores-censored.ts';
import { crpsStudentT } from '../../src/inference/scores-student-t.ts';

/** A forecast N(mean, sd²) of an outcome that is N(0, 1). */
interface Forecast {
  readonly mean: number;
  readonly sd: number;
}
const truth: Forecast = { mean: 0, sd: 1 };
const wrong: readonly Forecast[] = [
  { mean: 0.3, sd: 1 },
  { mean: -0.3, sd: 1 },
  { mean: 0, sd: 0.75 },
  { mean: 0, sd: 1.35 },
];
const random = randomGenerator(5);
const outcomes = Float64Array.from({ length: 20_000 }, () => random.normal());
const below = ({ mean, sd }: Forecast, t: number) => normalProbability((t - mean) / sd);

describe('recovery: the true distribution has the best mean score', () => {
  const scores: Record<string, (forecast: Forecast, y: number) => number> = {
    'CRPS, normal': ({ mean, sd }, y) => crpsNormal(y, mean, sd),
    'CRPS, log-normal': ({ mean, sd }, y) => crpsLogNormal(Math.exp(0.4 * y), 0.4 * mean, 0.4 * sd),
    'log score': ({ mean, sd }, y) => logScoreNormal(y, mean, sd),
    'interval score': ({ mean, sd }, y) => intervalScore(y, mean - 1.2815515655 * sd, mean + 1.2815515655 * sd, 0.2),
    'ranked probability score': (forecast, y) => {
      const cuts = [-1, 0, 1].map((cut) => below(forecast, cut));
      const classes = [cuts[0], cuts[1] - cuts[0], cuts[2] - cuts[1], 1 - cuts[2]];
      return rankedProbabilityScore(classes, [-1, 0, 1].filter((cut) => y > cut).length);
    },
    'log score of an interval, looks that stop': (forecast, y) => {
      const { lower, upper } = bracket(y);
      return intervalLogScore(below(forecast, lower), below(forecast, upper));
    },
    'sequential Brier score, looks that stop': (forecast, y) => {
      const made = looks.filter((_, i) => i === 0 || y > looks[i - 1]);
      return sequentialBrierScore(made.map((look) => ({ forecast: below(forecast, look), happened: y <= look })));
    },
  };

  it.each(Object.entries(scores))('%s', (_, score) => {
    for (const other of wrong) {
      // paired difference, positive beyond three standard errors
      const worse = outcomes.map((y) => score(other, y) - score(truth, y));
      expect(meanOf(worse) / standardError(worse)).toBeGreaterThan(3);
    }
  });

  it('pinball loss: the true quantile beats its neighbours', () => {
    for (const other of [0.7, 1.0]) {
      const worse = outcomes.map((y) => pinballLoss(y, other, 0.8) - pinballLoss(y, 0.8416212336, 0.8));
      expect(meanOf(worse) / standardError(worse)).toBeGreaterThan(3);
    }
  });

  it('CRPS, Student t', () => {
    const heavy = Float64Array.from({ length: 20_000 }, () => random.studentT(4));
    for (const scale of [0.75, 1.35]) {
      const worse = heavy.map((y) => crpsStudentT(y, 4, 0, scale) - crpsStudentT(y, 4, 0, 1));
      expect(meanOf(worse) / standardError(worse)).toBeGreaterThan(3);
    }
  });
});

const looks = [-1.2, -0.4, 0.3, 1.1];

function bracket(y: number): { lower: number; upper: number } {
  const lower = looks.filter((look) => y > look).at(-1) ?? Number.NEGATIVE_INFINITY;
  return { lower, upper: looks.find((look) => y <= look) ?? Number.POSITIVE_INFINITY };
}

function meanOf(values: Float64Array): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

function standardError(values: Float64Array): number {
  const mean = meanOf(values);
  return Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0)) / values.length;
}
