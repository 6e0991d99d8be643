import { describe, expect, it } from 'vitest';
import { levelsInWords } from '../../src/insight/level-words.ts';

const logs = (p05: number, p50: number, p95: number) => ({
  p05: Math.log(p05),
  p50: Math.log(p50),
  p95: Math.log(p95),
});

describe('contract: levels of other times, in words', () => {
  it('tells that hours creep, by the latest half-year alone', () => {
    const terms = [
      { term: 'crept 2025-06', ...logs(0.8, 0.85, 0.9) },
      { term: 'crept 2025-12', ...logs(0.88, 0.91, 0.95) },
    ];
    expect(levelsInWords('labour', terms)).toEqual([
      'It creeps, and the fit follows: jobs before 2025-12 count as 9 % quicker than those since (90 % range 5 to 12 %).',
    ]);
  });

  it.each([
    ['may as well have been like this one', logs(0.97, 1.02, 1.06)],
    ['differs by no more than is worth a word', logs(1.005, 1.02, 1.035)],
  ])('says nothing of a half-year that %s', (_, range) => {
    expect(levelsInWords('water', [{ term: 'crept 2025-12', ...range }])).toEqual([]);
  });

  it('tells a known change first', () => {
    const terms = [
      { term: 'crept 2025-12', ...logs(1.03, 1.05, 1.08) },
      { term: 'before 2025-10', ...logs(0.7, 0.75, 0.8) },
    ];
    const [change, creep] = levelsInWords('drying', terms);
    expect(change).toMatch(
      /^Since 2025-10 the fit reckons with another level: jobs before then count as 25 % quicker to dry/,
    );
    expect(creep).toMatch(/jobs before 2025-12 count as 5 % slower to dry than those since/);
  });
});
