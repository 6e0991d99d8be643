import { describe, expect, it } from 'vitest';
import type { ModelName } from '../../src/domain/doubts.ts';
import { emptyModels, type ModelMonth, type MonthScores } from '../../src/insight/scoring/month-scores.ts';
import { trackRecord } from '../../src/insight/track-record.ts';
import { trackSentence } from '../../src/insight/track-sentence.ts';
import { modelNames } from '../../src/models/shop-fit.ts';

/** A month in which every model forecast `n` outcomes, `inside` of them inside the 80 % range, each `gap` off the rule of thumb's score of 1. */
function month(
  name: string,
  n: number,
  inside: number,
  gap: number,
  models: readonly ModelName[] = modelNames,
): MonthScores {
  const sums: ModelMonth = {
    ...emptyModels().labour,
    n,
    score: n * (1 + gap),
    ruleOfThumb: { n, own: n * (1 + gap), other: n, gapSquares: n * gap * gap + n * 0.01 },
    inside80: inside,
  };
  const all = { ...emptyModels(), ...Object.fromEntries(models.map((model) => [model, sums])) };
  return { month: name, jobsKnown: 40, jobs: n, basis: name, failed: null, models: all };
}

const said = (...months: MonthScores[]) => trackSentence(trackRecord(months, undefined));
const since = (...months: MonthScores[]) => trackRecord(months, undefined).models[0]?.ownNumbersBetterSince;

describe('contract: the track record in one sentence', () => {
  it('says whether the ranges hold and whether the rule of thumb is beaten', () => {
    expect(said(month('2025-01', 100, 80, -0.3))).toBe(
      'On 100 jobs forecast before they were seen, the 80 % ranges held four times in five for all four figures, and each was closer than the rule of thumb.',
    );
  });

  it('claims no four in five where the range shown beside it lies to one side of that', () => {
    const nearly = month('2025-01', 100, 72, -0.3);
    expect(said(nearly)).toContain('the 80 % ranges held about four times in five for all four figures');
    const [{ ranges, inside80, says }] = trackRecord([nearly], undefined).models;
    expect([ranges, (inside80?.p95 ?? 1) < 0.8]).toEqual(['hold', true]);
    expect(says).toContain('72 of 100 inside the 80 % range: not quite as it should be, which chance can do.');
  });

  it('names the figures whose ranges do not hold, and those further off', () => {
    const some = month('2025-01', 100, 55, 0.3, ['labour', 'water']);
    expect(said(some)).toBe(
      'On 100 jobs forecast before they were seen, the ranges were too narrow for hours and water left in, and none was closer than the rule of thumb beyond doubt, while hours and water left in were further off.',
    );
  });

  it('says of few jobs that they are few, and of none that there are none', () => {
    expect(said(month('2025-01', 7, 7, -0.5))).toContain('Only 7 jobs');
    expect(said()).toContain('No forecast has met its outcome yet');
  });
});

describe('contract: since when own numbers beat the rule of thumb', () => {
  it('one bad month after good ones undoes nothing; good ones after bad begin anew', () => {
    const [good, bad] = [month('2025-02', 20, 16, -0.4), month('2025-03', 20, 16, 0.1)];
    expect(since(good, bad)).toBe('2025-02');
    expect(since(month('2025-01', 20, 16, 0.9), good, bad)).toBe('2025-02');
    expect(since(month('2025-01', 20, 16, -0.1), month('2025-02', 20, 16, 0.5))).toBeNull();
    expect(since(bad)).toBeNull();
  });
});
