import { describe, expect, it } from 'vitest';
import {
  type KnownChange,
  knownAfter,
  levelChanges,
  monthAfter,
  unexplained,
} from '../../src/insight/known-changes.ts';
import { emptyModels, emptyMonth, type MonthScores } from '../../src/insight/scoring/month-scores.ts';
import { trackRecord } from '../../src/insight/track-record.ts';

/** Twenty jobs a month whose log hours lie about a given mean, with a variance of 0.04. */
function month(index: number, mean: number): MonthScores {
  const n = 20;
  const name = new Date(Date.UTC(2025, index)).toISOString().slice(0, 7);
  const labour = { ...emptyMonth, n, residual: n * mean, residualSquares: n * mean ** 2 + 0.04 * (n - 1) };
  const about = { month: name, jobsKnown: 100, jobs: n, basis: `basis of ${name}`, failed: null };
  return { ...about, models: { ...emptyModels(), labour } };
}

const monthsOf = (means: readonly number[]) => means.map((mean, i) => month(i, mean));

/** Month after month, as a run walks them; a window of the last twelve where it is told so. */
function walked(months: readonly MonthScores[], former: readonly KnownChange[] = []) {
  let known: readonly KnownChange[] = former.filter(({ knownFrom }) => knownFrom <= months[0].month);
  months.forEach((_, i) => {
    known = knownAfter(months.slice(0, i + 1), known, former);
  });
  return known;
}

const brief = (known: readonly KnownChange[]) => known.map(({ drift, knownFrom }) => [drift.since, knownFrom]);
const step = monthsOf([0, 0.02, -0.01, 0, 0.01, 0.3, 0.28, 0, -0.02, 0.01, 0, 0.01]);

describe('contract: changes that forecasts reckon with', () => {
  it('one is known once two months have shown it, and is found once', () => {
    expect(brief(walked(step.slice(0, 6)))).toEqual([]);
    const known = walked(step.slice(0, 7));
    expect(brief(known)).toEqual([['2025-06', '2025-08']]);
    expect(walked(step)).toEqual(known);
    expect(levelChanges(known)).toEqual({ labour: ['2025-06'] });
  });

  it('where nothing changed there is none', () => {
    expect(levelChanges(walked(monthsOf(step.map((_, i) => 0.02 * (-1) ** i))))).toEqual({});
  });

  it('one odd month is none to reckon with, nor what had passed before it was found', () => {
    expect(walked(monthsOf([0, 0.02, -0.01, 0, 0.01, 0.3, 0.01, 0, -0.02, 0.01, 0, 0.01]))).toEqual([]);
    // Two months too close to the others to be seen while they last.
    expect(walked(monthsOf([0, 0, 0, 0, 0, 0.12, 0.12, 0, 0, 0, 0, 0]))).toEqual([]);
  });

  it('a second one is found beside the first', () => {
    const known = walked(monthsOf([0, 0.02, -0.01, 0, 0.01, 0.3, 0.28, 0, -0.02, -0.3, -0.25, -0.02]));
    expect(brief(known)).toEqual([
      ['2025-06', '2025-08'],
      ['2025-10', '2025-12'],
    ]);
    expect(levelChanges(known)).toEqual({ labour: ['2025-06', '2025-10'] });
  });

  it('one that lasted two months alone is followed by another back', () => {
    // With the level taken from June and July alone the months after come out as much lower.
    const known = walked(monthsOf([0, 0.02, -0.01, 0, 0.01, 0.3, 0.28, -0.3, -0.2, -0.02, 0.01, 0]));
    expect(brief(known)).toEqual([
      ['2025-06', '2025-08'],
      ['2025-08', '2025-10'],
    ]);
  });

  it('one that no level takes away is reckoned with once, and told as going on', () => {
    const stays = monthsOf([0, 0.02, -0.01, 0, 0.01, 0.3, 0.28, 0.3, 0.29, 0.31, 0.3, 0.28]);
    const known = walked(stays);
    expect(brief(known)).toEqual([['2025-06', '2025-08']]);
    const { changes } = trackRecord(
      stays,
      undefined,
      known.map((change) => ({ ...change, level: null })),
    );
    expect(changes.map(({ since, until, goesOn }) => [since, until, goesOn]).at(-1)).toEqual([
      '2025-08',
      '2025-12',
      true,
    ]);
  });

  it('what it explains is taken off the months that showed it, and off no others', () => {
    const known = walked(step);
    const rest = unexplained(step, known);
    const [{ drift }] = known;
    const isShown = (name: string) => name === '2025-06' || name === '2025-07';
    rest.forEach(({ month: name, models: { labour } }, i) => {
      const own = step[i].models.labour;
      expect(labour.residual / labour.n).toBeCloseTo(own.residual / own.n - (isShown(name) ? drift.shift : 0), 12);
      // About their mean they lie as before.
      const squares = (of: typeof own) => of.residualSquares - of.residual ** 2 / of.n;
      expect(squares(labour)).toBeCloseTo(squares(own), 10);
    });
  });

  it('one stands when the months that showed it are no longer scored, with all that was said of it', () => {
    const known = walked(step);
    const goesOn = [
      ...step,
      month(12, 0.01),
      month(13, -0.01),
      month(14, 0),
      month(15, 0.01),
      month(16, 0),
      month(17, 0),
      month(18, 0.01),
    ];
    for (let first = 1; first <= 7; first++) expect(walked(goesOn.slice(first, first + 12), known)).toEqual(known);
    // Without the former run's word it could not be found from these months.
    expect(walked(goesOn.slice(7, 19))).toEqual([]);
  });

  it('one goes where the months that showed it are not what they were, and show it no more', () => {
    const known = walked(step);
    const mended = monthsOf(step.map(() => 0)).map((one) => ({ ...one, basis: `mended ${one.month}` }));
    expect(walked(mended, known)).toEqual([]);
  });

  it('the month after December is January', () => {
    expect([monthAfter('2025-12'), monthAfter('2025-09')]).toEqual(['2026-01', '2025-10']);
  });
});

describe('contract: the track record tells of them', () => {
  const level = { p05: -0.29, p50: -0.26, p95: -0.23 };
  const known = walked(step).map((change) => ({ ...change, level }));

  it('with what the fit makes of them, once, whether or not they would stand out today', () => {
    const { changes, answer } = trackRecord(step, undefined, known);
    expect(changes).toHaveLength(1);
    expect(changes[0]).toMatchObject({
      since: '2025-06',
      reckonedFrom: '2025-08',
      // exp(−0.29), exp(−0.26), exp(−0.23).
      levelBefore: { p05: 0.74826, p50: 0.77105, p95: 0.79453 },
    });
    expect(changes[0].says).toContain('Since 2025-06 jobs took 33 % longer than forecast');
    expect(changes[0].says).toContain(
      'Since 2025-06 the fit reckons with another level: jobs before then count as 23 % quicker (90 % range 21 to 25 %).',
    );
    expect(answer).toContain(changes[0].says);
  });

  it('until the last month without it is told no more', () => {
    expect(trackRecord(step.slice(6), undefined, known).changes).toHaveLength(1);
    expect(trackRecord(step.slice(7), undefined, known).changes).toEqual([]);
  });

  it('and of one that the fit does not find in its own rows, that it lies elsewhere', () => {
    const none = known.map((change) => ({ ...change, level: { p05: -0.04, p50: 0.01, p95: 0.06 } }));
    const [{ says }] = trackRecord(step, undefined, none).changes;
    expect(says).toContain('jobs before then count as 1 % slower (90 % range 4 % quicker to 6 % slower)');
    expect(says).toContain('What changed then lies in what the figure is reckoned from.');
  });
});
