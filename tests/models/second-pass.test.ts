import { describe, expect, it } from 'vitest';
import { createRandom } from '../../seed/random.ts';
import type { FinishedJob } from '../../src/domain/record.ts';
import type { Soil } from '../../src/domain/vocabulary.ts';
import { fitRegression } from '../../src/inference/fit.ts';
import { secondPassWords } from '../../src/insight/wetness/second-pass-words.ts';
import { plannedWork } from '../../src/models/estimate/planned-work.ts';
import { simulateJob } from '../../src/models/estimate/simulate-job.ts';
import { estimateJob } from '../../src/models/estimate.ts';
import { decodeShopFit, encodeShopFit } from '../../src/models/fit-codec.ts';
import { priorsOf, withRoomToChange } from '../../src/models/layout.ts';
import { passesLayout, passesRows } from '../../src/models/rows/passes-rows.ts';
import { rulesOfThumb } from '../../src/models/rules-of-thumb.ts';
import { saysTwoAtMost, secondPassChance, secondPassesByRule } from '../../src/models/second-pass.ts';
import type { ShopFit } from '../../src/models/shop-fit.ts';
import { asTheyAre, readAs, shopView } from '../../src/models/shop-view.ts';
import { simulatePatches } from '../support/simulate/patches/shop.ts';
import { context, done, fitOf, machines, seats, technicians } from './shop-under-test.ts';

interface Person {
  readonly chance: number;
  readonly slower?: number;
}

const nobody: Readonly<Record<string, Person>> = {
  ann: { chance: 0 },
  ben: { chance: 0 },
  cat: { chance: 0 },
  dan: { chance: 0 },
};

/** Efforts of the passes model itself: log-normal about 0.25 with sigma 0.42; a second pass by habit where the first did it. */
function worked(people: Readonly<Record<string, Person>>, nJobs: number, soil: Soil = 'moderate'): FinishedJob[] {
  const random = createRandom(17);
  const keys = Object.keys(people);
  const passes = ({ chance, slower = 0 }: Person) => {
    const needed = Math.ceil(Math.exp(0.25 + slower + 0.42 * random.normal()));
    const again = random.uniform() < chance;
    return needed === 1 && again ? 2 : needed;
  };
  return Array.from({ length: nJobs }, (_, i) => {
    const technician = keys[i % keys.length];
    const finishedAt = new Date(Date.UTC(2026, 3, 1) - 3_600_000 * 12 * (nJobs - i)).toISOString();
    const job = done(`j${i}`, { soil }, { finishedAt, labour: [{ technician, minutes: 200 }] });
    return { ...job, sections: job.sections.map((one) => ({ ...one, wetPasses: passes(people[technician]) })) };
  });
}

function made(fit: ShopFit, technician: string) {
  const [{ needed, made }] = simulateJob(fit, plannedWork(fit, seats({ technician }), context), 4000).passes;
  const ones = (of: Uint8Array) => of.filter((n) => n === 1).length / of.length;
  return { needsOne: ones(needed), makesOne: ones(made) };
}

const section = { method: 'extraction', soil: 'moderate' } as const;

describe('recovery: second passes made to be safe', () => {
  const habitual = fitOf(worked({ ...nobody, ann: { chance: 0.9 } }, 240));

  it('are found with whoever makes them, and with nobody else', () => {
    const { byTechnician } = habitual.secondPasses;
    expect(byTechnician.ann.soiled?.certainty).toBeGreaterThan(0.99);
    expect(byTechnician.ann.soiled?.chance).toBeGreaterThan(0.75);
    for (const other of ['ben', 'cat', 'dan']) expect(byTechnician[other].soiled?.certainty).toBeLessThan(0.2);
  });

  it('count as made and not as needed', () => {
    const [ann, ben] = [made(habitual, 'ann'), made(habitual, 'ben')];
    // P(effort below 1) is Φ(−0.25/0.42) = 0.276, of everybody.
    expect(ann.needsOne).toBeGreaterThan(0.18);
    expect(ann.makesOne).toBeLessThan(0.08);
    expect(ben.makesOne).toBeGreaterThanOrEqual(ben.needsOne);
  });

  it('are told where an estimate says what moved its hours', () => {
    const factorFor = (technician: string) => {
      const { parts } = estimateJob(habitual, seats({ technician }), context).drivers.labourHours;
      return parts.find(({ driver }) => driver === 'second passes to be safe')?.factor;
    };
    // A quarter of 3.3 m² once more at 8 minutes each, of some three hours: 1.03 to 1.04.
    expect(factorFor('ann')).toBeGreaterThan(1.02);
    expect(factorFor('ann')).toBeLessThan(1.05);
    expect(factorFor('ben')).toBeUndefined();
  });

  it('leave the usual effort where it is, however often the habit is followed', () => {
    for (const chance of [0.8, 1]) {
      const fit = fitOf(worked({ ...nobody, ann: { chance }, ben: { chance } }, 400));
      const { sigma, mode } = fit.models.passes.posterior.points[0];
      expect(fit.secondPasses.byTechnician.ann.soiled?.certainty).toBeGreaterThan(0.9);
      expect(Math.abs(mode[0] - 0.25)).toBeLessThan(0.08);
      expect(Math.abs(sigma - 0.42)).toBeLessThan(0.05);
    }
  });

  it('are not read into somebody who needs more passes', () => {
    const slow = fitOf(worked({ ...nobody, ann: { chance: 0, slower: 0.35 } }, 240));
    expect(slow.secondPasses.byTechnician.ann.soiled?.certainty).toBeLessThan(0.5);
    expect(made(slow, 'ann').needsOne).toBeLessThan(made(slow, 'ben').needsOne);
  });

  it('are told to the owner of those who are here, with the count that tells', () => {
    expect(secondPassWords(habitual, technicians)).toMatch(
      /^ann makes a second pass over (nearly every section|about [89] of 10 sections) that the first has probably done, by the passes of 120 extracted sections .*needs it\.$/,
    );
    expect(secondPassWords(habitual, technicians.slice(1))).toMatch(/^Nobody who is here is known/);
  });

  it('are learnt alike from records in any order, many of them of one hour', () => {
    const records = worked({ ...nobody, ann: { chance: 0.5 } }, 400).map((job, i) => ({
      ...job,
      finishedAt: new Date(Date.UTC(2026, 2, 1 + (i >= 200 ? 1 : 0), 12)).toISOString(),
    }));
    const [one, other] = [records, [...records].reverse()].map((some) => fitOf(some).secondPasses.byTechnician.ann);
    expect(other.soiled?.certainty).toBeCloseTo(one.soiled?.certainty ?? 0, 9);
    expect(other.soiled?.chance).toBeCloseTo(one.soiled?.chance ?? 0, 9);
  });

  it('are stored with the fit', () => {
    expect(decodeShopFit(encodeShopFit(habitual)).secondPasses).toEqual(habitual.secondPasses);
  });
});

describe('second passes', () => {
  const rule = secondPassesByRule(rulesOfThumb);

  it('are nobody’s by the rule of thumb, of whom it holds ten pseudo-people, one with the habit', () => {
    expect(rule.people.have).toBeCloseTo(1, 10);
    expect(rule.people.haveNot).toBeCloseTo(9, 10);
    expect(secondPassChance(rule, section, undefined)).toBe(0);
  });

  it('of somebody not known are as frequent as in all who are, the pseudo-people among them', () => {
    const { secondPasses } = fitOf(worked({ ...nobody, ann: { chance: 1 }, ben: { chance: 1 } }, 400));
    const { ann, ben } = secondPasses.byTechnician;
    const sum = (ann.soiled?.chance ?? 0) + (ben.soiled?.chance ?? 0);
    expect(secondPassChance(secondPasses, section, 'eve')).toBeCloseTo(sum / 14, 12);
    expect(secondPassChance(secondPasses, { ...section, soil: 'light' }, 'eve')).toBe(0);
    expect(secondPassChance(secondPasses, { ...section, method: 'spot' }, 'ann')).toBe(0);
  });

  it('make one or two clean passes say two at the most, and leave all else as written', () => {
    const habit = { chance: 0.9, certainty: 0.99, sections: 50 };
    const secondPasses = { ...rule, byTechnician: { ann: { soiled: habit } } };
    const records = [
      done('one', { wetPasses: 1 }),
      done('two', { wetPasses: 2 }),
      done('three', { wetPasses: 3 }),
      done('unclean', { wetPasses: 2, result: 'improved' }),
      done('light', { wetPasses: 2, soil: 'light' }),
      done('by ben', { wetPasses: 2 }, { labour: [{ technician: 'ben', minutes: 200 }] }),
    ];
    const shop = {
      ...shopView(records, technicians, machines, rulesOfThumb, asTheyAre(records, rulesOfThumb)),
      secondPasses,
    };
    const { lower, upper } = passesRows(shop, passesLayout(shop)).observations;
    const first = records.map((_, i) => [lower[2 * i], upper[2 * i]].map(Math.exp));
    expect(first.flat().map((bound) => Number(bound.toFixed(9)))).toEqual(
      [
        [0, 2],
        [0, 2],
        [2, 3],
        [2, Infinity],
        [1, 2],
        [1, 2],
      ].flat(),
    );
    expect(saysTwoAtMost(secondPasses, { ...section, technician: 'ann', method: 'spot' })).toBe(false);
  });

  it('are drawn by the reading that the model was fitted to, also where readings have not settled', () => {
    // One after the other is taken to have the habit, of which every next fit makes the others look more like it: more rounds than are gone.
    const { records, ...lists } = simulatePatches(46, 50);
    const fit = fitOf(records, lists);
    const { layout, posterior } = fit.models.passes;
    const { rows, observations } = passesRows(
      shopView(records, lists.technicians, lists.machines, fit.rules, readAs(fit)),
      layout,
    );
    const priors = withRoomToChange(priorsOf('passes', layout, fit.rules), layout);
    const again = fitRegression({ name: 'passes', rows, observations, error: { kind: 'normal' }, ...priors });
    if (again.status === 'failed') throw new Error(again.message);
    again.posterior.points[0].mode.forEach((value, column) => {
      expect(value).toBeCloseTo(posterior.points[0].mode[column], 5);
    });
  });

  it('change nothing of a fit in which nobody has the habit', () => {
    const { secondPasses, models } = fitOf(worked(nobody, 120));
    expect(Object.values(secondPasses.byTechnician).every(({ soiled }) => (soiled?.certainty ?? 0) < 0.5)).toBe(true);
    expect(secondPasses.anyone).toEqual({ light: 0, soiled: 0 });
    expect(models.passes.used).toBe(120);
  });
});
