import { describe, expect, it } from 'vitest';
import { dryingRateKgPerM2h, evaporationKgPerM2h } from '../../src/models/evaporation.ts';
import { saturationKpa, vapourKpa, wetBulbC } from '../../src/models/psychrometrics.ts';

/**
 * ASHRAE Handbook HVAC Applications, natatoriums (after Carrier 1918), SI form: w = A (pw − pa)(0.089 + 0.0782 V) / Y in kg/s, as quoted
 * with units in public texts; the handbook's page itself was not seen. Each number is exact arithmetic on the inputs given.
 */
describe('reference: the ASHRAE evaporation relation', () => {
  it('worked in full: 2 m², 3.169 against 1.5845 kPa, 0.5 m/s, 2442 kJ/kg', () => {
    expect(2 * evaporationKgPerM2h(3.169, 1.5845, 0.5, 2442)).toBeCloseTo(0.59845046683, 10);
  });

  it('is the relation in US units, which rounds its constants 0.5 % apart', () => {
    // w = A (pw − pa)(95 + 0.425 V) / Y, lb/h, inches of mercury, feet a minute, Btu/lb: 0.595482 kg/h for the case above.
    expect(Math.abs((2 * evaporationKgPerM2h(3.169, 1.5845, 0.5, 2442)) / 0.595482 - 1)).toBeLessThan(6e-3);
  });

  it('has the coefficient of its short form, 4e-5 kg/(s m² kPa) at 0.1 m/s and 2400 kJ/kg', () => {
    expect(evaporationKgPerM2h(1, 0, 0.1, 2400) / 3600).toBeCloseTo(4.0342e-5, 9);
  });

  /** Hyland and Wexler vapour pressures, Y = 2500.9 − 2.3655 t; g/(h m²). Tolerance: the digits of the inputs. */
  it.each([
    [25, 25, 50, 0.1, 226.196598],
    [20, 20, 50, 0.1, 166.122846],
    [20, 20, 50, 0.5, 219.792776],
    [20, 20, 50, 2.0, 421.055013],
    [30, 25, 60, 0.5, 444.94597],
    [40, 20, 40, 1.0, 1612.922503],
    [15, 10, 80, 0.2, 110.478822],
    [26, 28, 60, 0.13, 160.075176],
  ])('water at %f °C in air of %f °C, %f per cent, %f m/s', (waterC, airC, rhPercent, airSpeedMs, gramsPerM2h) => {
    const flux = evaporationKgPerM2h(
      saturationKpa(waterC),
      vapourKpa(airC, rhPercent),
      airSpeedMs,
      2500.9 - 2.3655 * waterC,
    );
    expect(Math.abs((1000 * flux) / gramsPerM2h - 1)).toBeLessThan(1e-7);
  });
});

describe('identity: the drying rate of the models', () => {
  it('is that relation at the wet bulb with a latent heat of 2430 kJ/kg', () => {
    const air = { airC: 20, rhPercent: 50, airSpeedMs: 0.4 };
    const byHand = (3600 * (0.089 + 0.0782 * 0.4) * (saturationKpa(wetBulbC(20, 50)) - vapourKpa(20, 50))) / 2430;
    expect(dryingRateKgPerM2h(air)).toBe(byHand);
  });

  it.each([
    ['warmer air', { airC: 28 }],
    ['drier air', { rhPercent: 35 }],
    ['faster air', { airSpeedMs: 1.5 }],
  ])('is higher in %s', (_, change) => {
    const air = { airC: 20, rhPercent: 50, airSpeedMs: 0.4 };
    expect(dryingRateKgPerM2h({ ...air, ...change })).toBeGreaterThan(1.1 * dryingRateKgPerM2h(air));
  });

  it('stays above zero in fog, in frost and in a desert', () => {
    for (const airC of [-20, -5, 0, 5, 60])
      for (const rhPercent of [1, 97, 100]) {
        const rate = dryingRateKgPerM2h({ airC, rhPercent, airSpeedMs: 0.1 });
        expect(rate).toBeGreaterThan(1e-5);
        expect(rate).toBeLessThan(2);
      }
  });
});
