import { describe, expect, it } from 'vitest';
import type { Alternative } from '../../src/domain/planned.ts';
import { compareAlternatives } from '../../src/models/alternatives.ts';
import { context, fitOf, seats } from './shop-under-test.ts';

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
