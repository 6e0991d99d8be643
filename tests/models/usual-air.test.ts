import { describe, expect, it } from 'vitest';
import { dryingRate, type SaidAir } from '../../src/models/drying-air.ts';
import { estimateJob } from '../../src/models/estimate.ts';
import { typicalAir, usualAir } from '../../src/models/usual-air.ts';
import { context, done, fitOf, seats } from './shop-under-test.ts';

const inTypicalAir = (said: SaidAir) => dryingRate(said, typicalAir);

describe('air that nobody described', () => {
  it('is a typical bay where no record tells of the air, and makes the row less certain', () => {
    const described = inTypicalAir({ airC: 20, rhPercent: 50, aid: 'still-air' });
    const silent = dryingRate({}, usualAir([done('a'), done('b', {}, { drying: { aid: 'fan' } })]));
    expect(silent.logRate).toBe(described.logRate);
    expect(described).toMatchObject({ addedVariance: 0, unsaid: [] });
    expect(silent.unsaid.map(({ piece }) => piece)).toEqual(['airC', 'rhPercent', 'aid']);
    expect(silent.addedVariance).toBeGreaterThan(inTypicalAir({ airC: 20 }).addedVariance);
    expect(inTypicalAir({ airC: 20 }).addedVariance).toBeGreaterThan(
      inTypicalAir({ airC: 20, rhPercent: 50 }).addedVariance,
    );
  });

  /** By hand: the rates at 50 ± 12 % are half their log difference from the middle. */
  it('adds the variance of what it might have been', () => {
    const at = (rhPercent: number) => inTypicalAir({ airC: 20, rhPercent, aid: 'fan' }).logRate;
    const { addedVariance } = inTypicalAir({ airC: 20, aid: 'fan' });
    expect(addedVariance).toBeCloseTo(((at(62) - at(38)) / 2) ** 2, 12);
  });

  it('can still be reckoned with where it is so dry that one standard deviation less is no humidity at all', () => {
    const dry = { ...typicalAir, rhPercent: { mean: 9.1, sd: 9.3 } };
    const { addedVariance } = dryingRate({ airC: 20, aid: 'fan' }, dry);
    expect(addedVariance).toBeGreaterThan(0);
    expect(addedVariance).toBeLessThan(0.05);
  });

  it('takes a measured air speed before the aid’s', () => {
    const measured = inTypicalAir({ airC: 20, rhPercent: 50, aid: 'open-doors', airSpeedMs: 1.5 });
    expect(measured.logRate).toBe(inTypicalAir({ airC: 20, rhPercent: 50, aid: 'fan' }).logRate);
  });
});

describe('the air of a shop that writes it down', () => {
  const at = (ref: string, airC: number, more: Parameters<typeof done>[2] = {}) =>
    done(ref, {}, { drying: { airC }, ...more });

  /** By hand: 28, 30 and 32 beside four pseudo-records of 20 ± 4. */
  it('is its mean and spread, shrunk by four pseudo-records to the typical bay', () => {
    const { airC, rhPercent } = usualAir([at('a', 28), at('b', 30), at('c', 32), done('unsaid')]);
    const mean = (28 + 30 + 32 + 4 * 20) / 7;
    expect(airC.mean).toBeCloseTo(mean, 12);
    const squares = 3 * (30 - mean) ** 2 + 2 * 2 ** 2 + 4 * ((20 - mean) ** 2 + 4 ** 2);
    expect(airC.sd).toBeCloseTo(Math.sqrt(squares / 7), 12);
    expect(rhPercent).toEqual(typicalAir.rhPercent);
  });

  /** By hand: one job at 40 in the warm room, beside four pseudo-records of the shop's mean. */
  it('is for each aid its own, shrunk by four pseudo-records to that of all jobs', () => {
    const inRoom = (ref: string, aid: 'warm-room' | 'fan', airC?: number) => done(ref, {}, { drying: { aid, airC } });
    const air = usualAir([inRoom('a', 'fan', 20), inRoom('b', 'fan', 20), inRoom('c', 'warm-room', 40)]);
    const mean = (2 * 20 + 40 + 4 * 20) / 7;
    expect(air.airC.mean).toBeCloseTo(mean, 12);
    expect(air.byAid['warm-room']?.airC.mean).toBeCloseTo((40 + 4 * mean) / 5, 12);
    expect(air.byAid['warm-room']?.rhPercent).toEqual(typicalAir.rhPercent);
    expect(Object.keys(air.byAid)).toEqual(['fan', 'warm-room']);
    const rate = (aid: 'warm-room' | 'sun') => dryingRate({ aid, airSpeedMs: 0.1 }, air).logRate;
    expect(rate('warm-room')).toBeGreaterThan(rate('sun'));
    expect(rate('sun')).toBe(dryingRate({ aid: 'sun', airSpeedMs: 0.1, airC: mean }, air).logRate);
  });

  it('keeps no shop from learning, however dry its bay is', () => {
    const jobs = Array.from({ length: 60 }, (_, i) =>
      done(
        `d${i}`,
        {},
        { drying: { aid: 'fan', ...(i % 2 === 0 && { rhPercent: 8 }), checks: [{ hours: 5, dry: true }] } },
      ),
    );
    expect(fitOf(jobs).models.drying.used).toBe(60);
  });

  it('stands in a plan that does not say it', () => {
    const warm = fitOf(Array.from({ length: 60 }, (_, i) => at(`w${i}`, 30, { finishedAt: '2026-03-01T15:00:00Z' })));
    const dryHours = (airC?: number) =>
      estimateJob(warm, seats({}, { technician: 'ann', drying: { aid: 'fan', airC, rhPercent: 50 } }), context).dryHours
        .p50;
    expect(dryHours()).toBeGreaterThan(dryHours(30.5));
    expect(dryHours()).toBeLessThan(dryHours(28));
  });
});
