import { describe, expect, it } from 'vitest';
import { chanceOfGivingUp, givingUpCounts, stopsOf } from '../../src/models/giving-up.ts';
import { ruleTable } from '../../src/models/rule-table.ts';
import { done } from './shop-under-test.ts';

const rules = ruleTable();

describe('giving up', () => {
  it('has the chances of the rules of thumb with no records', () => {
    const counts = givingUpCounts([], rules).everybody;
    const chances = [1, 2, 3, 4, 5, 6, 7, 12].map((k) => chanceOfGivingUp(counts, k));
    [0.01, 0.01, 0.05, 0.2, 0.3, 0.4, 0.5, 0.5].forEach((chance, i) => {
      expect(chances[i]).toBeCloseTo(chance, 12);
    });
  });

  it('stands on ten pseudo-records a pass', () => {
    for (const { gaveUp, wentOn } of givingUpCounts([], rules).everybody) expect(gaveUp + wentOn).toBeCloseTo(10, 10);
  });

  it('counts who went on and who stopped unclean; clean says nothing of the last pass', () => {
    const records = [
      done('a', { wetPasses: 3 }),
      done('b', { wetPasses: 2, result: 'improved' }),
      done('c', { wetPasses: 9, result: 'unchanged' }),
    ];
    // Two sections a job. After pass 1 six went on; after 2 four did and two stopped; after 3 two went on; 7, 8 and 9 are one count.
    const counts = givingUpCounts(records, rules).everybody;
    expect(chanceOfGivingUp(counts, 1)).toBeCloseTo(0.1 / 16, 12);
    expect(chanceOfGivingUp(counts, 2)).toBeCloseTo(2.1 / 16, 12);
    expect(chanceOfGivingUp(counts, 3)).toBeCloseTo(0.5 / 12, 12);
    expect(chanceOfGivingUp(counts, 7)).toBeCloseTo((5 + 2) / (10 + 6), 12);
  });

  it('knows who has less patience, and of somebody new what everybody does', () => {
    const by = (technician: string) => ({ labour: [{ technician, minutes: 200 }] });
    const counts = givingUpCounts(
      [
        done('a', { wetPasses: 3 }, by('ann')),
        done('b', { wetPasses: 2, result: 'improved' }, by('ben')),
        done('c', { wetPasses: 3, technician: 'ben' }, by('ann')),
      ],
      rules,
    );
    // After pass 2 four sections went on, two of them each one's, and ben's other two stopped: 2.1 of 16 with the rule's 0.1 of 10.
    const usual = 2.1 / 16;
    const after2 = (technician: string | undefined) => chanceOfGivingUp(stopsOf(counts, technician), 2);
    expect(after2(undefined)).toBeCloseTo(usual, 12);
    expect(after2('eve')).toBeCloseTo(usual, 12);
    expect(after2('ann')).toBeCloseTo((10 * usual) / 12, 12);
    expect(after2('ben')).toBeCloseTo((10 * usual + 2) / 14, 12);
  });

  it('is everybody’s for a newcomer by whatever key', () => {
    const counts = givingUpCounts([done('a')], rules);
    expect(stopsOf(counts, 'constructor')).toBe(counts.everybody);
  });

  it('takes a shop’s own chance, its spread as the weight', () => {
    const own = ruleTable({ 'giving-up.2': { mean: 0.5, sd: 0.05 } });
    const { gaveUp, wentOn } = givingUpCounts([], own).everybody[1];
    expect(gaveUp / (gaveUp + wentOn)).toBeCloseTo(0.5, 12);
    expect(gaveUp + wentOn).toBeCloseTo(99, 9);
  });

  it('knows no pass before the first', () => {
    expect(() => chanceOfGivingUp(givingUpCounts([], rules).everybody, 0)).toThrow(RangeError);
  });
});
