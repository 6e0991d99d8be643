import { describe, expect, it } from 'vitest';
import { holdsOfBlindShop } from './blind-shop.ts';
import { hoursToEvaporate } from './sponge-air.ts';
import { simulateSponge } from './sponge-shop.ts';

describe('the simulated shop of sponge', () => {
  const shop = simulateSponge(1, 400);
  holdsOfBlindShop(simulateSponge);

  it('keeps what it puts down and gets back in balance, and looks truly at what dries', () => {
    shop.outcomes.forEach((outcome, i) => {
      expect(outcome.sprayedLitres - outcome.recoveredLitres).toBeCloseTo(outcome.extractedLeftLitres, 9);
      expect(outcome.recoveredLitres).toBeGreaterThanOrEqual(0);
      for (const { hours: at, dry } of shop.records[i].drying?.checks ?? [])
        expect(outcome.dryingHours <= at).toBe(dry);
    });
  });

  it('has a person who leaves 1.35 times the water in, where asked for, and nothing else changed', () => {
    const plain = simulateSponge(4, 200, { wetSpread: 0, overWet: { technician: 1, factor: 1 } });
    const wet = simulateSponge(4, 200, { wetSpread: 0, overWet: { technician: 1, factor: 1.35 } });
    plain.outcomes.forEach((outcome, i) => {
      const ratio = wet.outcomes[i].wettestPerM2 / outcome.wettestPerM2;
      expect(ratio).toBeCloseTo(plain.records[i].labour[0].technician === 'tech-2' ? 1.35 : 1, 9);
      expect(wet.outcomes[i].hours).toBe(outcome.hours);
    });
  });

  it('dries by day and night at their own rates', () => {
    const rates = { open: 0.1, shut: 0.02 };
    expect(hoursToEvaporate(0.1, 10, rates)).toBeCloseTo(1, 9);
    // two hours until closing, fourteen shut ones, and what is left after eight in the morning
    expect(hoursToEvaporate(0.2 + 0.28 + 0.05, 24 + 16, rates)).toBeCloseTo(2 + 14 + 0.5, 9);
  });
});
