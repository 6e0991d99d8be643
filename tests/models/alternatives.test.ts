import { describe, expect, it } from 'vitest';
import type { Alternative } from '../../src/domain/planned.ts';
import { compareAlternatives } from '../../src/models/alternatives.ts';
import { context, done, fitOf, seats } from './shop-under-test.ts';

describe('contract: the same job dried in another way', () => {
  it('has the air of the other drying aid, also where the plan says how fast it moves with its own', () => {
    const air = { aid: 'still-air', airC: 20, rhPercent: 50 } as const;
    const other: Alternative[] = [{ label: 'with a fan', dryingAid: 'fan', sections: [] }];
    const hoursSaved = (drying: typeof air & { airSpeedMs?: number }) =>
      compareAlternatives(fitOf([]), seats({}, { drying }), other, context)[0]?.dryHours.p50;
    expect(hoursSaved({ ...air, airSpeedMs: 0.1 })).toBe(hoursSaved(air));
    expect(hoursSaved(air)).toBeLessThan(-2);
  });
});

describe('contract: the same job done by somebody else', () => {
  const slowBen = Array.from({ length: 40 }, (_, i) =>
    done(`j${i}`, {}, { labour: [{ technician: i % 2 ? 'ben' : 'ann', minutes: i % 2 ? 280 : 180 }] }),
  );
  const fit = fitOf(slowBen);
  const hours = (plan: Parameters<typeof seats>[1], sections: Parameters<typeof seats>[0] = {}) =>
    compareAlternatives(fit, seats(sections, plan), [{ label: 'ben', technician: 'ben', sections: [] }], context)[0]
      .labourHours.p50;

  it('takes along what the plan’s sections had named its technician for, and all where it names none', () => {
    const whole = hours({ technician: 'ann' });
    expect(whole).toBeGreaterThan(0.3);
    expect(hours({ technician: 'ann' }, { technician: 'ann' })).toBe(whole);
    expect(hours({}, { technician: 'ann' })).toBe(whole);
  });

  it('leaves to others what the plan has given them', () => {
    expect(hours({ technician: 'ann' }, { technician: 'cat' })).toBe(0);
  });
});
