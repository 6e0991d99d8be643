import { describe, expect, it } from 'vitest';
import { chanceBy, curveUntil, readyCurve } from '../../src/insight/ready-curve.ts';
import { clockHours, thinnedHours } from '../../src/pages/desk-clock.ts';
import { addingUp } from '../../src/pages/desk-drivers.tsx';
import { twentieths } from '../../src/pages/desk-passes.tsx';
import { oneIn, quarterUp } from '../../src/pages/desk-words.ts';

const chances = (values: readonly number[]) =>
  values.map((chance, i) => ({ passes: i + 1, orMore: i + 1 === values.length, chance }));
const timesOf = (values: readonly number[]) =>
  twentieths(chances(values)).map(({ label, times }) => `${label}:${times}`);

describe('identity: twenty parts for the chances', () => {
  it('are always twenty, each count within one of its share', () => {
    for (let seed = 1; seed < 200; seed += 1) {
      const raw = Array.from({ length: 7 }, (_, i) => ((seed * (i + 3) * 7919) % 1000) + 1);
      const sum = raw.reduce((a, b) => a + b, 0);
      const values = raw.map((value) => value / sum);
      const parts = twentieths(chances(values));
      expect(parts.reduce((total, { times }) => total + times, 0)).toBe(20);
      for (const { passes, times } of parts) expect(Math.abs(times - 20 * (values[passes - 1] ?? 0))).toBeLessThan(1);
    }
  });

  it('name the last as this many or more, and leave out what has no part', () => {
    expect(timesOf([0.05, 0.8, 0.15])).toEqual(['1:1', '2:16', '3+:3']);
    expect(timesOf([0, 1, 0])).toEqual(['2:20']);
  });
});

describe('identity: drivers as shown', () => {
  it('add up to the figure, though each would be rounded by itself', () => {
    const parts = Array.from({ length: 9 }, () => ({ driver: 'soil' as const, factor: 1, adds: 0.0149 }));
    const explained = { typical: 2.004, parts, shown: 2.004 + 9 * 0.0149 };
    const shown = addingUp(explained, 2);
    const sum = shown.reduce((total, { adds }) => total + adds, 0);
    expect(sum).toBeCloseTo(Number(explained.shown.toFixed(2)), 10);
    expect(2 + 9 * 0.01).not.toBeCloseTo(sum, 10);
  });

  it('leave out what shows as nothing', () => {
    const parts = [{ driver: 'air' as const, factor: 1, adds: 0.001 }];
    expect(addingUp({ typical: 1, parts, shown: 1.001 }, 1)).toEqual([{ driver: 'typical', adds: 1 }]);
  });
});

describe('contract: the chance to be ready by an hour', () => {
  const given = {
    workEnds: '2025-03-10T12:00:00Z',
    p05: '2025-03-10T14:00:00Z',
    p50: '2025-03-10T18:00:00Z',
    p80: '2025-03-10T22:00:00Z',
    p90: '2025-03-11T02:00:00Z',
    p95: '2025-03-11T06:00:00Z',
  };
  const at = (time: string) => chanceBy(readyCurve(given), new Date(time));

  it('is the quantile’s own at a quantile and straight between two', () => {
    expect(at('2025-03-10T18:00:00Z')).toBe(0.5);
    expect(at('2025-03-10T14:00:00Z')).toBe(0.05);
    expect(at('2025-03-10T20:00:00Z')).toBeCloseTo(0.65, 12);
    expect(at('2025-03-11T06:00:00Z')).toBe(0.95);
  });

  it('is cut where a picture ends, with a point there', () => {
    const until = (time: string) => curveUntil(readyCurve(given), new Date(time)).map(({ chance }) => chance);
    expect(until('2025-03-10T20:00:00Z')).toEqual([0.05, 0.5, expect.closeTo(0.65, 12)]);
    expect(until('2025-03-10T22:00:00Z')).toEqual([0.05, 0.5, 0.8]);
    expect(until('2025-03-11T06:00:00Z')).toHaveLength(5);
    expect(until('2025-03-10T10:00:00Z')).toEqual([]);
  });

  it('is not made up outside of what was answered', () => {
    expect(at('2025-03-10T13:59:00Z')).toBeUndefined();
    expect(at('2025-03-11T06:01:00Z')).toBeUndefined();
  });
});

describe('contract: hours of the shop’s clock', () => {
  const hoursOf = (from: string, to: string, zone: string) =>
    clockHours(new Date(from), new Date(to), zone).map(({ hour }) => hour);

  it('are whole there, wherever the town is', () => {
    expect(hoursOf('2025-03-10T10:20:00Z', '2025-03-10T13:30:00Z', 'Europe/London')).toEqual([11, 12, 13]);
    expect(hoursOf('2025-03-10T10:20:00Z', '2025-03-10T13:30:00Z', 'Asia/Kathmandu')).toEqual([17, 18, 19]);
  });

  it('skip and repeat the hour that the clocks do', () => {
    expect(hoursOf('2025-03-30T00:00:00Z', '2025-03-30T03:00:00Z', 'Europe/London')).toEqual([0, 2, 3, 4]);
    expect(hoursOf('2025-10-25T23:00:00Z', '2025-10-26T03:00:00Z', 'Europe/London')).toEqual([0, 1, 1, 2, 3]);
  });

  it('are thinned to a step that a clock has', () => {
    const day = clockHours(new Date('2025-03-10T00:00:00Z'), new Date('2025-03-11T12:00:00Z'), 'Europe/London');
    expect(thinnedHours(day, 40)).toHaveLength(37);
    expect(thinnedHours(day, 7).map((at) => at.getUTCHours())).toEqual([0, 6, 12, 18, 0, 6, 12]);
  });
});

describe('contract: what is promised', () => {
  it('is rounded up, never down', () => {
    expect(quarterUp('2025-03-10T14:00:00Z').toISOString()).toBe('2025-03-10T14:00:00.000Z');
    expect(quarterUp('2025-03-10T14:01:00Z').toISOString()).toBe('2025-03-10T14:15:00.000Z');
  });

  it('says a risk as people do', () => {
    expect([0.2, 0.1, 0.25, 0.23, 0.5].map(oneIn)).toEqual(['1 in 5', '1 in 10', '1 in 4', '23 in 100', '1 in 2']);
  });
});
