import { describe, expect, it } from 'vitest';
import type { FinishedJob } from '../../src/domain/record.ts';
import { finishedJob } from '../../src/domain/record.ts';
import { type GivenEstimate, readGiven } from '../../src/insight/given-estimate.ts';
import { whatItTook } from '../../src/insight/what-it-took.ts';

const chances = (values: readonly number[]) =>
  values.map((chance, i) => ({ passes: i + 1, orMore: i + 1 === values.length, chance }));
const given: GivenEstimate = readGiven(
  JSON.stringify({
    labourHours: { p10: 2, p90: 4 },
    dryHours: { p10: 5, p90: 15 },
    waterLitres: { p10: 1, p90: 2 },
    quote: { hours: 3.5 },
    sections: [
      { area: 'rear-bench', passesNeeded: chances([0.7, 0.1, 0.2]), passesMade: chances([0.1, 0.7, 0.2]) },
      { area: 'rear-bench', passesNeeded: chances([0.9, 0.1, 0]), passesMade: chances([0.5, 0.5, 0]) },
    ],
  }),
);
const bench = { area: 'rear-bench', fabric: 'knit', soil: 'light', method: 'extraction', wetPasses: 2 };
const done = (more: object = {}): FinishedJob =>
  finishedJob.parse({
    ref: 'T-1',
    finishedAt: '2025-03-04T12:00:00Z',
    bodyStyle: 'sedan',
    labour: [{ technician: 'ada', minutes: 180 }],
    sections: [bench],
    ...more,
  });
const minutes = (first: number, second = 0) => ({
  labour: [
    { technician: 'ada', minutes: first },
    { technician: 'ben', minutes: second },
  ],
});
const checked = (...checks: readonly [number, boolean][]) =>
  whatItTook(done({ drying: { checks: checks.map(([hours, dry]) => ({ hours, dry })) } }), given).dry;

describe('contract: what a job took against what was said', () => {
  it('adds up everybody’s minutes and says where they lie', () => {
    const of = (first: number, second = 0) => whatItTook(done(minutes(first, second)), given).hours;
    expect(of(60, 59)).toMatchObject({ place: 'below', overQuote: false });
    expect(of(60, 60)).toEqual({ took: 2, place: 'inside', overQuote: false });
    expect(of(211)).toMatchObject({ place: 'inside', overQuote: true });
    expect(of(120, 121)).toMatchObject({ place: 'above', overQuote: true });
  });

  it('matches parts of one area in their order, and gives the chance of the passes made', () => {
    const sections = [bench, bench, bench, { ...bench, area: 'cargo' }];
    const parts = whatItTook(done({ sections }), given).parts;
    expect(parts.map(({ chance }) => chance)).toEqual([0.7, 0.5, undefined, undefined]);
  });

  it('counts many passes with the last chance, and gives none where it was not clean', () => {
    const sections = [
      { ...bench, wetPasses: 9 },
      { ...bench, result: 'improved' },
    ];
    const parts = whatItTook(done({ sections }), given).parts;
    expect(parts.map(({ chance, gaveUp }) => [chance, gaveUp])).toEqual([
      [0.2, false],
      [undefined, true],
    ]);
  });

  it('says when it was dry only as far as somebody looked', () => {
    expect(whatItTook(done(), given).dry).toBeUndefined();
    expect(checked([4, true])).toEqual({ wetAt: undefined, dryAt: 4, place: 'below' });
    expect(checked([6, false], [9, true])).toEqual({ wetAt: 6, dryAt: 9, place: 'inside' });
    expect(checked([3, false], [9, true])?.place).toBeUndefined();
    expect(checked([16, false])).toEqual({ wetAt: 16, dryAt: undefined, place: 'above' });
    expect(checked([6, false])?.place).toBeUndefined();
  });

  it('reads the tanks where they can be right', () => {
    const of = (sprayedLitres: number, recoveredLitres: number) =>
      whatItTook(done({ sprayedLitres, recoveredLitres }), given).waterLitres;
    expect(of(8, 6.5)).toEqual({ took: 1.5, place: 'inside' });
    expect(of(8, 5)).toMatchObject({ place: 'above' });
    expect(of(8, 9)).toBeUndefined();
    expect(whatItTook(done(), given).waterLitres).toBeUndefined();
    const beside = { sections: [bench, { ...bench, method: 'spot' }], sprayedLitres: 4, recoveredLitres: 3 };
    expect(whatItTook(done(beside), given).waterLitres).toBeUndefined();
  });
});
