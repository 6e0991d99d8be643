import { describe, expect, it } from 'vitest';
import { createRandom } from '../../seed/random.ts';
import { estimateJob } from '../../src/models/estimate.ts';
import { fitShop } from '../../src/models/fit.ts';
import { decodeShopFit, encodeShopFit } from '../../src/models/fit-codec.ts';
import { summariseShopFit } from '../../src/models/fit-summary.ts';
import { clockHours, dayHours, likeliestNight } from '../../src/models/nights.ts';
import type { ShopFit } from '../../src/models/shop-fit.ts';
import { context, done, fitOf, machines, now, seats, technicians } from './shop-under-test.ts';

const half = { logRate: Math.log(0.5) };

describe('hours of the day in hours on the clock', () => {
  /** By hand: 16 to 18 are two of the day, 18 to 2 four more at half the rate; 6 to 8 one, 8 to 18 ten, 18 to 6 six. */
  it.each([
    [16, 10, 6],
    [9, 4, 4],
    [6, 24, 17],
    [20, 12, 6],
  ])('from %d:00 the %d on the clock are %d where the night counts half', (from, clock, day) => {
    expect(dayHours(half, from, clock)).toBeCloseTo(day, 12);
    expect(clockHours(half, from, day)).toBeCloseTo(clock, 12);
  });

  it('are each other’s inverse, at every hour and any length', () => {
    const random = createRandom(3);
    for (let i = 0; i < 500; i++) {
      const night = { logRate: random.between(-1.6, 0.3) };
      const [from, hours] = [random.between(0, 30), random.between(0.01, 150)];
      expect(clockHours(night, from, dayHours(night, from, hours))).toBeCloseTo(hours, 9);
    }
  });

  it('leave alone what is open upwards, and everything where nights are as days', () => {
    expect(dayHours(half, 12, Number.POSITIVE_INFINITY)).toBe(Number.POSITIVE_INFINITY);
    expect(dayHours({ logRate: 0 }, 12, 20.1)).toBe(20.1);
    expect(clockHours({ logRate: 0 }, 12, 20.1)).toBe(20.1);
  });
});

describe('the likeliest night', () => {
  const rule = { logRate: 0, logRateSd: 0.4 };

  /** Conjugate: a normal likelihood of mean m and sd s beside N(0, 0.4²). */
  it.each([
    [-0.5, 0.2],
    [-1.1, 0.1],
    [-0.1, 0.5],
  ])('is that of the normal posterior where the records say %d ± %d', (mean, sd) => {
    const found = likeliestNight(rule, (logRate) => -0.5 * ((logRate - mean) / sd) ** 2);
    const precision = 1 / sd ** 2 + 1 / 0.4 ** 2;
    expect(found.logRate).toBeCloseTo(mean / sd ** 2 / precision, 10);
    expect(found.logRateSd).toBeCloseTo(1 / Math.sqrt(precision), 10);
  });

  it('is that of the rule where the records would have it quicker, say nothing or cannot be fitted', () => {
    expect(likeliestNight(rule, (logRate) => -0.5 * ((logRate - 0.6) / 0.2) ** 2).logRate).toBeCloseTo(0, 12);
    expect(likeliestNight(rule, () => -7)).toMatchObject({ logRate: 0 });
    expect(likeliestNight(rule, () => -7).logRateSd).toBeCloseTo(0.4, 12);
    expect(likeliestNight(rule, () => undefined)).toEqual(rule);
  });

  /** A shop may adjust the rule: the records are then heard on both sides of it, down from nights as days. */
  it.each([
    [-0.9, 0.3, -0.2, 0.1],
    [-0.9, 0.3, -1.9, 0.1],
    [-2.4, 0.2, -2.3, 0.2],
    [0.5, 0.2, 0.1, 0.1],
  ])(
    'is that of the normal posterior where a shop believes %d ± %d, and the records say %d ± %d',
    (own, ownSd, mean, sd) => {
      const found = likeliestNight(
        { logRate: own, logRateSd: ownSd },
        (logRate) => -0.5 * ((logRate - mean) / sd) ** 2,
      );
      const precision = 1 / sd ** 2 + 1 / ownSd ** 2;
      expect(found.logRate).toBeCloseTo((mean / sd ** 2 + own / ownSd ** 2) / precision, 10);
      expect(found.logRateSd).toBeCloseTo(1 / Math.sqrt(precision), 10);
    },
  );
});

/** Jobs that end at any hour from nine to seven; the cloth dries by the quarter hour, at night at a rate of its own, and is looked at now and then. */
function shopOf(nightRate: number, seed: number) {
  const random = createRandom(seed);
  return Array.from({ length: 120 }, (_, i) => {
    const end = Math.round(60 * random.between(9, 19));
    const finishedAt = new Date(Date.UTC(2026, 0, 1 + i, 0, end)).toISOString();
    let [left, dryAt] = [7 * random.spread(0.25), 0];
    for (; left > 0; dryAt += 0.25) {
      const clock = (end / 60 + dryAt) % 24;
      left -= 0.25 * (clock < 8 || clock >= 18 ? nightRate : 1);
    }
    const looks = [dryAt - random.between(0.5, 2.5), dryAt + random.between(0, 2)].filter((hours) => hours > 0);
    const checks = looks.map((hours) => ({ hours, dry: hours >= dryAt }));
    return done(`n${i}`, {}, { finishedAt, drying: { aid: 'open-doors', airC: 20, rhPercent: 50, checks } });
  });
}

/** As a shop adjusts the rule: the logarithm of how much longer drying takes at night. */
const night = (mean: number) => ({ 'drying.night': { mean, sd: 0.1 } });

describe('recovery: what an hour of the night dries', () => {
  it.each([
    [0.45, 1],
    [0.7, 2],
    [1, 3],
  ])('is found where it is %d of one of the day', (rate, seed) => {
    const { terms } = summariseShopFit(fitOf(shopOf(rate, seed))).models.drying;
    const night = terms.find(({ term }) => term === 'night');
    // Told as all of drying is: how much longer it takes.
    expect(Math.abs((night?.mean ?? Number.NaN) + Math.log(rate))).toBeLessThan(2 * (night?.sd ?? 0));
    expect(night?.sd).toBeLessThan(0.2);
  });
});

it('knows at which hours work ends, by the clock of the shop, from sixteen of its jobs', () => {
  const at = (hour: number, i: number) =>
    done(`e${i}`, {}, { finishedAt: new Date(Date.UTC(2026, 0, 1 + i, hour)).toISOString() });
  // A third each at 9, 12 and 18 in Chicago, six hours behind UTC in winter, where the last are those of the next day.
  const records = Array.from({ length: 60 }, (_, i) => at([15, 18, 24][i % 3], i));
  const { workEnds } = fitOf(records, { timeZone: 'America/Chicago' }).nights;
  expect(workEnds).toHaveLength(16);
  for (const hour of [9, 12, 18])
    expect(Math.abs(workEnds.filter((end) => end === hour).length - 16 / 3)).toBeLessThan(1);
  expect(workEnds).toEqual([...workEnds].sort((a, b) => a - b));
});

it('is the same whatever the order of the records, also where not all of them are tried', () => {
  const records = [...shopOf(0.5, 4), ...shopOf(0.6, 5), ...shopOf(0.7, 6)].map((job, i) => ({ ...job, ref: `o${i}` }));
  const logRate = (all: typeof records) => fitOf(all, { integrate: false }).nights.logRate;
  expect(logRate([...records].reverse())).toBeCloseTo(logRate(records), 6);
});

describe('an estimate of a shop whose nights dry slowly', () => {
  const fit = fitOf(shopOf(0.45, 1));
  const startingAt = (startAt?: string, timeZone = 'Etc/UTC') =>
    estimateJob({ ...fit, nights: { ...fit.nights, timeZone } }, seats({}, { technician: 'ann', startAt }), context);

  it('has the cloth dry later the more of its hours are of the night, by the shop’s own clock', () => {
    const [morning, noon] = ['2026-05-01T05:00:00Z', '2026-05-01T12:00:00Z'];
    expect(startingAt(noon).dryHours.p50).toBeGreaterThan(1.3 * startingAt(morning).dryHours.p50);
    expect(startingAt(noon, 'America/New_York').dryHours.p50).toBeLessThan(startingAt(noon).dryHours.p50);
  });

  it('takes a plan without a start to end when work ends here', () => {
    const [morning, evening] = ['2026-05-01T05:00:00Z', '2026-05-01T14:30:00Z'];
    expect(startingAt().dryHours.p50).toBeGreaterThan(startingAt(morning).dryHours.p50);
    expect(startingAt().dryHours.p50).toBeLessThan(startingAt(evening).dryHours.p50);
  });

  it('says how much the night adds, in parts that add up', () => {
    const { typical, parts, shown } = startingAt('2026-05-01T12:00:00Z').drivers.dryHours;
    expect(parts.find(({ driver }) => driver === 'night')?.adds).toBeGreaterThan(1);
    expect(parts.reduce((sum, { adds }) => sum + adds, typical)).toBeCloseTo(shown, 9);
    // What is left to chance is small: the night is in its part.
    expect(Math.abs(Math.log(parts.find(({ driver }) => driver === 'spread')?.factor ?? 0))).toBeLessThan(0.1);
  });

  it('is by the clock where the rules of thumb answer alone, which know of no slow nights', () => {
    const byRules = fitOf([]);
    const at = (startAt: string) => estimateJob(byRules, seats({}, { startAt }), context).dryHours;
    expect(at('2026-05-01T05:00:00Z')).toEqual(at('2026-05-01T12:00:00Z'));
  });
});

describe('a drying model that cannot be fitted', () => {
  const slow = shopOf(0.45, 1);
  /** So sure of a spread that no search can move it. */
  const impossible = { 'drying.sigma': { mean: Math.log(0.18), sd: 1e-200 } };

  it('has the hours of the day of the fit that it is taken from, and reads no row', () => {
    const before = fitOf(slow);
    const result = fitShop({
      records: slow,
      technicians,
      machines,
      now,
      rules: { ...impossible, ...night(0.1) },
      warmStart: before,
    });
    if (result.status === 'failed') return expect.fail('no fit');
    expect(result.fit.models.drying.standIn?.from).toBe('the fit before');
    expect(result.fit.nights).toEqual(before.nights);
    expect(result.rows.drying.rows.nRows).toBe(0);
  });

  it('has those of the rules of now where the fit before had learnt no drying', () => {
    const before = fitOf([], { rules: night(0.2) });
    const fit = fitOf(slow, { rules: { ...impossible, ...night(0.9) }, warmStart: before });
    expect(fit.models.drying.standIn?.from).toBe('rules of thumb');
    const { logRate, logRateSd } = fitOf([], { rules: night(0.9) }).nights;
    expect(fit.nights).toMatchObject({ logRate, logRateSd });
  });
});

describe('a shop that adjusts the rule on its nights', () => {
  const slower = { 'drying.night': { mean: Math.log(2), sd: 0.4 } };
  const dryHours = (fit: ShopFit, startAt: string) => estimateJob(fit, seats({}, { startAt }), context).dryHours.p50;

  it('has it in its estimates before any record', () => {
    const fit = fitOf([], { rules: slower });
    expect(fit.nights.logRate).toBeCloseTo(-Math.log(2), 12);
    expect(dryHours(fit, '2026-05-01T15:00:00Z')).toBeGreaterThan(1.3 * dryHours(fitOf([]), '2026-05-01T15:00:00Z'));
  });

  it('learns from its records that nights are as days, or slower still', () => {
    const learnt = (rate: number, seed: number) => fitOf(shopOf(rate, seed), { rules: slower }).nights;
    expect(Math.exp(learnt(1, 3).logRate)).toBeGreaterThan(0.85);
    expect(Math.exp(learnt(0.3, 4).logRate)).toBeLessThan(0.4);
  });

  it('keeps what it learnt, to be read again', () => {
    const fit = fitOf(shopOf(0.45, 1), { timeZone: 'Europe/London', rules: slower });
    expect(decodeShopFit(encodeShopFit(fit)).nights).toEqual(fit.nights);
    expect(fit.nights.timeZone).toBe('Europe/London');
  });
});

describe('a slip in the drying of a shop whose nights are slow', () => {
  const sound = shopOf(0.45, 1);
  /** Ended in the evening; typed in minutes. */
  const at = sound.findIndex(({ finishedAt }) => finishedAt.slice(11, 13) === '18');
  const farOff = (checks: readonly { readonly hours: number; readonly dry: boolean }[]) => {
    const slip = { ...sound[at], drying: { ...sound[at].drying, checks: [...checks] } };
    const { leftOut } = fitOf(sound.with(at, slip)).models.drying;
    expect(leftOut.map(({ ref }) => ref)).toEqual([sound[at].ref]);
    return { reason: leftOut[0].reason, ...(leftOut[0].farOff ?? expect.fail('no figures')) };
  };

  it('is told in hours on the clock, and what was to be expected too', () => {
    const { reason, seen, expected } = farOff([{ hours: 600, dry: false }]);
    expect(reason).toMatch(/^still wet after 600 hours, where/);
    expect(seen).toBe(600);
    // Of the day it is about seven, 4.5 to 11; from 18:18 on with 0.45 of an hour in one of the night these are 14.5, 10 to 18.5.
    expect(expected.p05).toBeGreaterThan(8);
    expect(expected.p05).toBeLessThan(12);
    expect(expected.p95).toBeGreaterThan(16);
    expect(expected.p95).toBeLessThan(22);
  });

  it('is told likewise of what was dry too soon', () => {
    const { reason, seen } = farOff([{ hours: 0.2, dry: true }]);
    expect(reason).toMatch(/^dry within 0.2 hours, where/);
    expect(seen).toBe(0.2);
  });
});
