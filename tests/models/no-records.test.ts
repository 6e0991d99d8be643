import { describe, expect, it } from 'vitest';
import type { PlannedJob } from '../../src/domain/planned.ts';
import { estimateJob } from '../../src/models/estimate.ts';
import { airSpeedByAid } from '../../src/models/evaporation.ts';
import { context, fitOf, seats } from './shop-under-test.ts';

const fit = fitOf([]);
const answer = (job: PlannedJob) => estimateJob(fit, job, context);
const heavierFirst = ['severe', 'heavy', 'moderate', 'light'] as const;

/** Facts of the trade: common practice, no source. */
describe('a shop with no records', () => {
  it('needs two passes for typical seats with an ordinary extractor', () => {
    for (const section of answer(seats()).sections) {
      const chances = section.passesNeeded.map(({ chance }) => chance);
      expect(chances.indexOf(Math.max(...chances))).toBe(1);
      expect(section.meanPassesNeeded).toBeGreaterThan(1.9);
      expect(section.meanPassesNeeded).toBeLessThan(2.4);
    }
  });

  it.each([
    ['a high-grade extractor', seats({}, { extractor: 'high-one' })],
    ['spot cleaning', seats({ method: 'spot' }, { extractor: null })],
  ])('gives one pass the largest chance with %s, or nearly', (_, job) => {
    for (const { passesNeeded } of answer(job).sections) {
      const most = Math.max(...passesNeeded.map(({ chance }) => chance));
      expect(passesNeeded[0].chance).toBeGreaterThan(most - 0.05);
    }
  });

  it('takes about three to four hours for a sedan’s front and rear seats, taken out and extracted', () => {
    const { p10, p90 } = answer(seats()).labourHours;
    expect(p10).toBeGreaterThan(2.8);
    expect(p10).toBeLessThan(3.2);
    expect(p90).toBeGreaterThan(3.8);
    expect(p90).toBeLessThan(4.4);
  });

  it('knows the hours of one seat less well, as a share, than those of all seats', () => {
    const one = { ...seats(), sections: seats().sections.slice(0, 1) };
    const spread = (job: PlannedJob) => {
      const { p10, p90 } = answer(job).labourHours;
      return Math.log(p90 / p10);
    };
    expect(spread(one)).toBeGreaterThan(spread(seats()));
  });

  it('gives spots that are treated first the time of a round by hand, whatever passes it saves', () => {
    const { parts } = answer(seats({ method: 'spot-then-extraction' })).drivers.labourHours;
    const adds = (name: string) => parts.find(({ driver }) => driver === name)?.adds;
    expect(adds('method')).toBeGreaterThan(0.1);
    expect(adds('surface and passes')).toBeLessThan(0);
  });

  it('dries somewhere between still air and open doors where nobody said how', () => {
    const hours = (drying: PlannedJob['drying']) => answer(seats({}, { drying })).dryHours.p50;
    const air = { airC: 20, rhPercent: 50 };
    const unsaid = hours(air);
    expect(unsaid).toBeLessThan(0.95 * hours({ ...air, aid: 'still-air' }));
    expect(unsaid).toBeGreaterThan(1.05 * hours({ ...air, aid: 'open-doors' }));
    expect(answer(seats({}, { drying: air })).drivers.dryHours.text).toMatch(/−\d\.\d\d for drying aid not said/);
  });

  it('dries by the air’s speed where that was measured, whether or not anything is said to move it', () => {
    const hours = (drying: PlannedJob['drying']) => answer(seats({}, { drying })).dryHours;
    const air = { airC: 20, rhPercent: 50, airSpeedMs: airSpeedByAid['still-air'] };
    expect(hours(air)).toEqual(hours({ ...air, aid: 'still-air' }));
  });

  it('leaves far less water in by spot work than by extraction, and dries sooner', () => {
    const [extraction, spot] = [answer(seats()), answer(seats({ method: 'spot' }))];
    expect(spot.waterLPerM2.p50).toBeLessThan(0.5 * extraction.waterLPerM2.p50);
    expect(spot.waterLPerM2.p90).toBeLessThan(0.7 * extraction.waterLPerM2.p90);
    expect(spot.dryHours.p50).toBeLessThan(0.5 * extraction.dryHours.p50);
  });

  it.each([
    ['a fan', seats({}, { drying: { aid: 'fan', airC: 20, rhPercent: 50 } })],
    ['warmer air', seats({}, { drying: { aid: 'open-doors', airC: 28, rhPercent: 50 } })],
    ['drier air', seats({}, { drying: { aid: 'open-doors', airC: 20, rhPercent: 35 } })],
    ['a further dry pass to each wet one, which recovers more water', seats({ dryPasses: 4 })],
    ['an extractor that recovers more water', seats({}, { extractor: 'high-one' })],
    ['a last round with the vacuum', seats({ dryPasses: 2 }, { finalVacuum: true })],
  ])('dries sooner with %s alone', (_, job) => {
    const [changed, usual] = [answer(job).dryHours, answer(seats({ dryPasses: 2 })).dryHours];
    for (const p of ['p10', 'p50', 'p90'] as const) expect(changed[p]).toBeLessThan(0.95 * usual[p]);
  });

  it('dries seats later that stay in the vehicle, and carpet, which stays in it anyway, not', () => {
    const carpet = { area: 'floor-carpet', fabric: 'loop-carpet' } as const;
    const dry = (section: Parameters<typeof seats>[0], seatsRemoved: boolean) =>
      answer(seats(section, { seatsRemoved })).dryHours.p50;
    expect(dry({}, false)).toBeGreaterThan(1.05 * dry({}, true));
    expect(dry(carpet, false)).toBe(dry(carpet, true));
  });

  it('asks more passes and more hours of heavier soil', () => {
    const bySoil = heavierFirst.map((soil) => answer(seats({ soil })));
    for (let i = 1; i < bySoil.length; i++) {
      const [heavier, lighter] = [bySoil[i - 1], bySoil[i]];
      expect(heavier.sections[0].meanPassesNeeded).toBeGreaterThan(1.1 * lighter.sections[0].meanPassesNeeded);
      for (const p of ['p10', 'p50', 'p90'] as const)
        expect(heavier.labourHours[p]).toBeGreaterThan(1.05 * lighter.labourHours[p]);
    }
  });

  it('asks more hours for more surface', () => {
    const bySurface = [1, 1.5, 2].map((surfaceM2) => answer(seats({ surfaceM2 })).labourHours);
    for (const p of ['p10', 'p50', 'p90'] as const) {
      expect(bySurface[1][p]).toBeGreaterThan(1.05 * bySurface[0][p]);
      expect(bySurface[2][p]).toBeGreaterThan(1.05 * bySurface[1][p]);
    }
  });

  it('is rule of thumb altogether', () => {
    const estimate = answer(seats());
    expect(estimate.basis).toBe('rules of thumb');
    for (const figure of [estimate.passes, estimate.labourHours, estimate.waterLPerM2, estimate.dryHours])
      expect(figure.evidenceShare).toBe(0);
  });
});
