import { describe, expect, it } from 'vitest';
import { createRandom } from '../../../../seed/random.ts';
import { plannedJob } from '../../../../src/domain/planned.ts';
import { holdsOfBlindShop } from '../blind-shop.ts';
import type { Outcome } from '../types.ts';
import { dryHours } from './drying.ts';
import { normalBelow } from './normal.ts';
import type { PatchOutcome } from './patches.ts';
import { simulatePatches } from './shop.ts';
import { gradesOf, soilGiven } from './soil.ts';

describe('the simulated shop of patches', () => {
  const shop = simulatePatches(1, 400);
  holdsOfBlindShop(simulatePatches);

  it('leaves in no more than it puts down and does not get back; the rest dried under way or went into a tank apart', () => {
    shop.outcomes.forEach((outcome, i) => {
      const { planned, shop: house } = shop.settingOf(i);
      expect(outcome.recoveredLitres).toBeGreaterThanOrEqual(0);
      expect(outcome.extractedLeftLitres).toBeLessThanOrEqual(outcome.leftLitres);
      if (planned.sections.some(({ method }) => method !== 'extraction')) return;
      const put = outcome.sprayedLitres - outcome.recoveredLitres;
      const vacuumLeaves = house.vacuumApart && (outcome as PatchOutcome).finalVacuum ? 0.78 : 1;
      expect(outcome.extractedLeftLitres).toBeLessThanOrEqual(put + 1e-9);
      expect(outcome.extractedLeftLitres).toBeGreaterThanOrEqual(0.7 * vacuumLeaves * put);
    });
  });

  it('looks at what dries with a hand that errs by some eight per cent', () => {
    const checks = shop.records.flatMap(({ drying: air }, i) =>
      (air?.checks ?? []).map(({ hours: at, dry }) => ({ dry, ofTruth: at / shop.outcomes[i].dryingHours })),
    );
    expect(checks.length).toBeGreaterThan(300);
    // four spreads of the hand, and the quarter hour that checks are written to
    for (const { dry, ofTruth } of checks) if (ofTruth < 0.7 || ofTruth > 1.4) expect(dry).toBe(ofTruth > 1);
  });

  it('has a person who leaves more water in where asked for, by trigger and angle, and no other job changes', () => {
    const [plain, wet] = [1, 1.35].map((factor) =>
      simulatePatches(4, 200, { wetSpread: 0, overWet: { technician: 1, factor } }),
    );
    const ratios: number[] = [];
    plain.outcomes.forEach((outcome, i) => {
      const other = wet.outcomes[i];
      if (plain.records[i].labour[0].technician !== 't2') expect(measured(other)).toEqual(measured(outcome));
      else if (outcome.sprayedLitres > 0) ratios.push(other.extractedLeftLitres / outcome.extractedLeftLitres);
    });
    expect(ratios.length).toBeGreaterThan(20);
    // the factor is of trigger over angle; suction that misses takes a little more of the water than that
    expect(median(ratios)).toBeGreaterThan(1.35);
    expect(median(ratios)).toBeLessThan(1.7);
  });

  it('draws the truth behind the words so that over all words it is the truth that the inspection saw', () => {
    const random = createRandom(5);
    const [hand] = shop.shop.hands;
    const truths = Array.from({ length: 4000 }, () => {
      const [soil] = gradesOf(['front-seat'], 'sedan', hand, shop.shop, random);
      return soilGiven(seatOfSedan(soil), hand, shop.shop, random)[0];
    });
    const mean = truths.reduce((total, truth) => total + truth, 0) / truths.length;
    const sd = Math.sqrt(truths.reduce((total, truth) => total + (truth - mean) ** 2, 0) / truths.length);
    // four standard errors; 0.5 of the vehicle and 0.35 of the section
    expect(Math.abs(mean - (Math.log(shop.shop.clientele) - 0.1))).toBeLessThan(0.039);
    expect(Math.abs(sd - Math.hypot(0.5, 0.35))).toBeLessThan(0.028);
    expect(normalBelow(1.959964)).toBeCloseTo(0.975, 6);
  });

  it('dries the slower the deeper the water lies, and by night slower than by day', () => {
    const air = { inC: 20, inRh: 50, outC: 15, outRh: 60 };
    const bay = { ...shop.shop.bay, nightDrop: 5, fanAtNight: false };
    const seat = { cloth: 0.2, foam: 0.2, depth: 1, holds: 0.3, isOut: false, isMat: false };
    const from = (finishHour: number, wet = seat) =>
      dryHours(wet, { air, bay, planned: seatOfSedan('light'), aid: 'fan', finishHour, habit: 1 }, createRandom(6));
    expect(from(9, { ...seat, cloth: 0, foam: 0.4 })).toBeGreaterThan(from(9));
    expect(from(9, { ...seat, cloth: 0.4, foam: 0 })).toBeLessThan(from(9));
    expect(from(19)).toBeGreaterThan(from(9));
  });
});

const median = (values: readonly number[]) => [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)];
const measured = (outcome: Outcome) => [outcome.sections, outcome.hours, outcome.leftLitres, outcome.dryingHours];

function seatOfSedan(soil: 'light' | 'moderate' | 'heavy' | 'severe') {
  const sections = [{ area: 'front-seat', count: 2, fabric: 'knit', soil, stains: [], method: 'extraction' }];
  return plannedJob.parse({ bodyStyle: 'sedan', seatsRemoved: false, extractor: 'm1', sections });
}
