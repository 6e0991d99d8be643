import { describe, expect, it } from 'vitest';
import { priorsOf } from '../../src/models/layout.ts';
import { dryingLayout } from '../../src/models/rows/drying-rows.ts';
import { labourLayout } from '../../src/models/rows/labour-rows.ts';
import { passesLayout } from '../../src/models/rows/passes-rows.ts';
import { waterLayout } from '../../src/models/rows/water-rows.ts';
import { overrideFaults, ruleTable } from '../../src/models/rule-table.ts';
import { rulesOfThumb } from '../../src/models/rules-of-thumb.ts';
import { fitOf } from './shop-under-test.ts';

const shop = { technicians: ['ann'], machines: ['one'] };
const layouts = {
  passes: passesLayout(shop),
  labour: labourLayout(shop),
  water: waterLayout(shop),
  drying: dryingLayout(shop),
} as const;
const models = ['passes', 'labour', 'water', 'drying'] as const;

describe('the rules of thumb', () => {
  it('are one row a rule, each with a statement and where it comes from', () => {
    expect(new Set(rulesOfThumb.map(({ id }) => id)).size).toBe(rulesOfThumb.length);
    for (const rule of rulesOfThumb) {
      expect(rule.statement.length).toBeGreaterThan(10);
      expect(rule.provenance).toBe('common practice, no source');
    }
  });

  it.each(models)('have a rule for every term of the %s model, and no rule without a term', (model) => {
    const coefficients = rulesOfThumb.filter((rule) => rule.model === model && rule.kind === 'coefficient');
    // Beside these two for levels of other times, which only fits that have records of them have terms for; the night has no column of its own.
    const beside = ['before', 'crept', ...(model === 'drying' ? ['night'] : [])];
    expect(coefficients.map(({ term }) => term).sort()).toEqual([...layouts[model].terms, ...beside].sort());
    expect(priorsOf(model, layouts[model], rulesOfThumb).groups.length).toBe(model === 'drying' ? 1 : 2);
  });

  it('take a shop’s adjustments, and say so in the row', () => {
    const [adjusted] = ruleTable({ 'labour.int': { mean: 0.3 } }).filter(({ id }) => id === 'labour.int');
    expect(adjusted).toMatchObject({ mean: 0.3, sd: 0.04, provenance: 'adjusted in the shop’s settings' });
  });

  it('are recorded in the fit as it used them', () => {
    const fit = fitOf([], { rules: { 'labour.int': { mean: 0.3 } } });
    expect(fit.rules).toEqual(ruleTable({ 'labour.int': { mean: 0.3 } }));
    const [point] = fit.models.labour.posterior.points;
    expect(point.mode[fit.models.labour.layout.terms.indexOf('int')]).toBe(0.3);
  });

  it('gather every fault of an adjustment before they speak', () => {
    const faulty = {
      'labour.nonsense': { mean: 1 },
      'labour.int': { sd: 0 },
      'giving-up.1': { mean: 1.2 },
    };
    const faults = overrideFaults(faulty);
    expect(faults).toHaveLength(3);
    expect(() => ruleTable(faulty)).toThrow(/labour\.nonsense.*labour\.int.*giving-up\.1/);
    expect(overrideFaults({ 'giving-up.1': { mean: 0.2, sd: 0.1 } })).toEqual([]);
  });
});
