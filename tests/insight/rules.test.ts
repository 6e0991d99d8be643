import { describe, expect, it } from 'vitest';
import { bodyStyles, fabrics } from '../../src/domain/vocabulary.ts';
import { normalProbability } from '../../src/inference/normal.ts';
import { readFitSummary } from '../../src/insight/rules/fit-reading.ts';
import { adjustmentOf, askedOf, programsRule, ruleForm } from '../../src/insight/rules/rule-adjustment.ts';
import { believed } from '../../src/insight/rules/rule-figures.ts';
import { ruleLines } from '../../src/insight/rules/rule-lines.ts';
import { ruleName } from '../../src/insight/rules/rule-names.ts';
import { rulesSentence } from '../../src/insight/rules/rules-sentence.ts';
import { fitShop } from '../../src/models/fit.ts';
import { summariseShopFit } from '../../src/models/fit-summary.ts';
import { overrideFaults, ruleTable } from '../../src/models/rule-table.ts';
import { rulesOfThumb } from '../../src/models/rules-of-thumb.ts';

const now = new Date('2025-03-05T10:00:00Z');
const byRule = fitShop({ records: [], technicians: [], machines: [], now });
if (byRule.status !== 'fitted') throw new Error('the rules of thumb could not be fitted');
/** As it comes back from the database. */
const stored = JSON.parse(JSON.stringify(summariseShopFit(byRule.fit))) as unknown;

const ruleCalled = (id: string) => {
  const rule = programsRule(id);
  if (!rule) throw new Error(`no rule ${id}`);
  return rule;
};

describe('identity: rules of thumb as people say them', () => {
  it('what is asked of a rule and what is stored are inverse to each other, for every rule', () => {
    for (const rule of rulesOfThumb) {
      const { mean, sd } = adjustmentOf(rule, askedOf(rule));
      expect(mean, rule.id).toBeCloseTo(rule.mean, 10);
      expect(sd, rule.id).toBeCloseTo(rule.sd, 10);
    }
  });

  it('every rule has a name in words, none its term’s id', () => {
    const words: readonly string[] = [...bodyStyles, ...fabrics];
    const bare = rulesOfThumb.filter((rule) => ruleName(rule) === rule.term && !words.includes(rule.term));
    expect(bare.map(({ id }) => id)).toEqual([]);
  });

  it('every name stands beside its range on a phone, uncut', () => {
    const long = rulesOfThumb.map(ruleName).filter((name) => name.length > 28);
    expect(long).toEqual([]);
  });

  it('water and drying in proportion are × 1 at twice the litres', () => {
    const { p05, p50, p95 } = believed(ruleCalled('drying.lwater'));
    expect(p50).toBe(1);
    expect(p95).toBeCloseTo(2 ** (0.2 * 1.6448536), 6);
    expect(p05 * p95).toBeCloseTo(1, 12);
  });

  it('a rule as it stands can be asked for again, and nothing that may be asked for is refused', () => {
    for (const rule of rulesOfThumb) {
      const form = ruleForm(rule);
      expect(form.safeParse(JSON.parse(JSON.stringify(askedOf(rule)))).error, rule.id).toBeUndefined();
      for (const middle of [0.05, 0.1, 1.005, 1.01, 5, 20, 99])
        for (const within of [1, 1.01, 20, 1000]) {
          const asked = form.safeParse(rule.kind === 'spread' ? { middle } : { middle, within });
          if (asked.success) expect(overrideFaults({ [rule.id]: adjustmentOf(rule, asked.data) })).toEqual([]);
        }
    }
  });

  it('half as many again, sure to a fifth, lies between 1.25 and 1.8 nine times in ten', () => {
    const rule = ruleCalled('passes.heavy');
    const own = { ...rule, ...adjustmentOf(rule, { middle: 1.5, within: 1.2 }) };
    const { p05, p50, p95 } = believed(own);
    expect([p05, p50, p95].map((value) => Number(value.toFixed(6)))).toEqual([1.25, 1.5, 1.8]);
    expect(normalProbability((Math.log(p95) - own.mean) / own.sd)).toBeCloseTo(0.95, 9);
  });

  it('twice the wet passes leave half as much again: the slope at a doubling', () => {
    // 2^0.6, by the rule's own mean.
    expect(believed(ruleCalled('water.lwet')).p50).toBeCloseTo(1.515717, 6);
  });

  it('a chance is shown by its mean, the range about it by its Beta distribution', () => {
    const { p05, p50, p95 } = believed(ruleCalled('giving-up.4'));
    // R 4.2.2: qbeta(c(.05, .95), 2, 8) is 0.041023168 0.429135547.
    expect([p05, p50, p95].map((value) => Number(value.toFixed(5)))).toEqual([0.04102, 0.2, 0.42914]);
  });
});

describe('contract: rules of thumb beside what was learnt', () => {
  it('a fit without records has learnt what the rules say, and nothing is the shop’s own', () => {
    const fit = readFitSummary(stored);
    expect(fit).toBeDefined();
    for (const line of ruleLines(ruleTable(), fit)) {
      if (line.kind !== 'coefficient' && line.kind !== 'chance') continue;
      // Levels of other times are terms of fits that have records of them.
      if (/\.(before|crept)$/.test(line.id)) continue;
      expect(line.data?.p50, line.id).toBeCloseTo(line.rule.p50, 2);
      if (line.kind === 'coefficient') expect(line.ownShare, line.id).toBeLessThan(0.02);
    }
  });

  it('on the level before a change nothing is learnt where none was found, and of several the latest is shown', () => {
    const dataOf = (summary: unknown) =>
      ruleLines(ruleTable(), readFitSummary(summary)).find(({ id }) => id === 'labour.before')?.data?.p50;
    expect(dataOf(stored)).toBeUndefined();
    const changed = fitShop({
      records: [],
      technicians: [],
      machines: [],
      now,
      changes: { labour: ['2024-03', '2025-01'] },
    });
    if (changed.status !== 'fitted') throw new Error('not fitted');
    expect(dataOf(JSON.parse(JSON.stringify(summariseShopFit(changed.fit))))).toBeCloseTo(1, 6);
  });

  it('says in one sentence how many lie beyond, and how many are adjusted', () => {
    const lines = ruleLines(ruleTable({ 'passes.heavy': { mean: 3 } }), readFitSummary(stored));
    expect(rulesSentence(lines)).toMatch(
      /^Your own records go beyond what 1 of \d+ rules of thumb held likely; 1 is adjusted by you\.$/,
    );
    expect(rulesSentence(ruleLines(ruleTable(), readFitSummary(stored)))).toContain('lies within the range of each');
    expect(rulesSentence(ruleLines(ruleTable(), undefined))).toContain('Nothing is learnt yet');
  });

  it('a summary that is none of this version is not read', () => {
    expect(readFitSummary({ failures: [] })).toBeUndefined();
    expect(readFitSummary(null)).toBeUndefined();
  });
});
