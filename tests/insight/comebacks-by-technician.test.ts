import { describe, expect, it } from 'vitest';
import { type FinishedJob, finishedJob } from '../../src/domain/record.ts';
import { fabrics, type Soil, soils } from '../../src/domain/vocabulary.ts';
import { type RandomGenerator, randomGenerator } from '../../src/inference/random.ts';
import { comebacksByTechnician } from '../../src/insight/wetness/comeback-rates.ts';

type Fabric = (typeof fabrics)[number];

const plain = finishedJob.parse({
  ref: 'a',
  finishedAt: '2025-03-04T15:20:00Z',
  bodyStyle: 'sedan',
  labour: [{ technician: 'odo', minutes: 90 }],
  sections: [{ area: 'cargo', fabric: 'knit', soil: 'light', method: 'extraction', wetPasses: 1 }],
});

function job(technician: string, cameBack: boolean, soil: Soil = 'light', fabric: Fabric = 'knit'): FinishedJob {
  return {
    ...plain,
    labour: [{ technician, minutes: 90 }],
    sections: [{ ...plain.sections[0], soil, fabric }],
    outcome: { comeback: cameBack ? 'odour' : 'none' },
  };
}

const jobs = (n: number, cases: number, technician: string, soil?: Soil) =>
  Array.from({ length: n }, (_, i) => job(technician, i < cases, soil));

describe('contract: comebacks by technician, adjusted for what they worked on', () => {
  it('are no more than the others’ where more came back because the work was worse', () => {
    // Of severe work 12 in 100 come back, of light work 2, whoever does it; cyd does most of the severe.
    const records = [
      ...[...jobs(100, 12, 'cyd', 'severe'), ...jobs(50, 1, 'cyd', 'light')],
      ...['ada', 'bo'].flatMap((one) => [...jobs(50, 6, one, 'severe'), ...jobs(150, 3, one, 'light')]),
    ];
    const [ada, , cyd] = comebacksByTechnician(records, ['ada', 'bo', 'cyd']);
    expect([cyd.cases / cyd.jobs, ada.cases / ada.jobs].map((share) => share.toFixed(3))).toEqual(['0.087', '0.045']);
    expect(cyd.timesOthers.p50).toBeGreaterThan(0.85);
    expect(cyd.timesOthers.p50).toBeLessThan(1.2);
    expect(cyd.expected).toBeGreaterThan(11);
    expect(cyd.expected).toBeLessThan(14);
  });

  it('are more where more came back of the same work, and by less than seen where there is little of it', () => {
    const of = (n: number) => {
      const [ada] = comebacksByTechnician([...jobs(n, n / 10, 'ada'), ...jobs(n, n / 40, 'bo')], ['ada', 'bo']);
      return ada.timesOthers;
    };
    expect(of(4000).p50).toBeGreaterThan(3.5);
    expect(of(4000).p05).toBeGreaterThan(3);
    const few = of(40);
    expect(few.p50).toBeGreaterThan(1.1);
    expect(few.p50).toBeLessThan(2);
    expect(few.p05).toBeLessThan(1);
  });

  it('expect of everyone together what came back, where all do alike', () => {
    const people = ['ada', 'bo', 'cyd'];
    const found = comebacksByTechnician(
      people.flatMap((one) => jobs(200, 8, one)),
      people,
    );
    for (const { expected, timesOthers, cases } of found) {
      expect(cases).toBe(8);
      expect(timesOthers.p50).toBeCloseTo(1, 6);
      expect(expected).toBeGreaterThan(7.5);
      expect(expected).toBeLessThan(8.2);
    }
  });

  it('hold who shared a job to their share of its minutes, and a job without minutes to equal ones', () => {
    const shared = (minutes: readonly [number, number]) => ({
      ...job('ada', true),
      labour: [
        { technician: 'ada', minutes: minutes[0] },
        { technician: 'bo', minutes: minutes[1] },
      ],
    });
    const of = (minutes: readonly [number, number]) =>
      comebacksByTechnician([...Array(20).fill(shared(minutes)), ...jobs(200, 2, 'cyd')], ['ada', 'bo', 'cyd']);
    const [mostly, little] = of([100, 20]);
    expect(mostly.timesOthers.p50).toBeGreaterThan(1.5 * little.timesOthers.p50);
    const [one, other] = of([0, 0]);
    expect(one.timesOthers.p50).toBeCloseTo(other.timesOthers.p50, 9);
    expect([one.jobs, one.cases, other.jobs]).toEqual([20, 20, 20]);
  });

  it('say nothing but the rule where nothing counts', () => {
    const [ada] = comebacksByTechnician([], ['ada', 'bo']);
    expect([ada.jobs, ada.cases, ada.expected]).toEqual([0, 0, 0]);
    expect(ada.timesOthers.p50).toBe(1);
    expect(ada.timesOthers.p95).toBeGreaterThan(2);
  });
});

describe('recovery: how much more comes back of one’s work', () => {
  it.each([
    [60, 3],
    [300, 5],
    [1500, 4],
  ])('lies in its range nine times in ten, in shops of %i jobs and %i people as the rules have them', (n, nPeople) => {
    const random = randomGenerator(9);
    let [held, above, all] = [0, 0, 0];
    for (let shop = 0; shop < 300; shop++) {
      const { records, effects, people } = shopOf(random, n, nPeople);
      for (const [k, { timesOthers }] of comebacksByTechnician(records, people).entries()) {
        const others = effects.reduce((sum, effect, i) => sum + (i === k ? 0 : effect), 0) / (nPeople - 1);
        const truth = Math.exp(effects[k] - others);
        held += timesOthers.p05 <= truth && truth <= timesOthers.p95 ? 1 : 0;
        above += truth > timesOthers.p50 ? 1 : 0;
        all += 1;
      }
    }
    expect(held / all).toBeGreaterThan(0.87);
    expect(held / all).toBeLessThan(0.93);
    expect(Math.abs(above / all - 0.5)).toBeLessThan(0.05);
  });

  /** Who does what is as uneven as in a shop: everyone has a soil they are mostly given. */
  function shopOf(random: RandomGenerator, n: number, nPeople: number) {
    const share = Math.log(0.03) + 0.7 * random.normal();
    const bySoil = soils.map(() => 0.5 * random.normal());
    const byFabric = fabrics.map(() => 0.5 * random.normal());
    const effects = Array.from({ length: nPeople }, () => 0.6 * random.normal());
    const people = effects.map((_, i) => `p${i}`);
    const records = Array.from({ length: n }, () => {
      const who = Math.floor(nPeople * random.uniform());
      const soil = random.uniform() < 0.5 ? who % soils.length : Math.floor(soils.length * random.uniform());
      const fabric = Math.floor(fabrics.length * random.uniform());
      const chance = Math.min(1, Math.exp(share + bySoil[soil] + byFabric[fabric] + effects[who]));
      return job(people[who], random.uniform() < chance, soils[soil], fabrics[fabric]);
    });
    return { records, effects, people };
  }
});
