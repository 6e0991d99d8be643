import { describe, expect, it } from 'vitest';
import * as units from '../../src/domain/units.ts';

/**
 * Made with GNU units 2.22 (`units -t '1 gal' mL` and so on); exact by definition of the yard, the pound and the US
 * gallon of 231 cubic inches, but for the conventional inch of water. Tolerance: rounding of doubles.
 */
describe('reference: GNU units 2.22', () => {
  it.each([
    ['US gallon in litres', units.litresPerUsGallon, 3.785411784],
    ['US fluid ounce in litres', units.litresPerUsFluidOunce, 0.0295735295625],
    ['square foot in square metres', units.squareMetresPerSquareFoot, 0.09290304],
    ['cubic foot a minute in cubic metres an hour', units.cubicMetresPerHourPerCfm, 1.69901079552],
    ['100 CFM in cubic metres an hour', 100 * units.cubicMetresPerHourPerCfm, 169.901079552],
    ['100 inches of water in kPa', 100 * units.kilopascalsPerInchOfWater, 24.908891],
    ['77 °F in °C', units.celsiusOfFahrenheit(77), 25],
    ['−40 °F in °C', units.celsiusOfFahrenheit(-40), -40],
    ['25 °C in °F', units.fahrenheitOfCelsius(25), 77],
  ])('%s', (_, ours, reference) => {
    expect(Math.abs(ours / reference - 1)).toBeLessThan(1e-14);
  });

  it('200 °F is 93.3333 °C, to the digits given', () => {
    expect(units.celsiusOfFahrenheit(200)).toBeCloseTo(93.3333, 4);
  });
});

/** Arithmetic of r parts to one: 1000 / (r + 1) mL of concentrate in a litre of ready mix. */
describe('reference: dilution r:1', () => {
  it.each([
    [4, 200],
    [8, 111.111111],
    [10, 90.909091],
    [16, 58.823529],
    [20, 47.619048],
    [32, 30.30303],
    [64, 15.384615],
    [128, 7.751938],
  ])('%i:1 takes %f mL a litre', (parts, millilitres) => {
    expect(units.concentrateMlPerLitre(parts)).toBeCloseTo(millilitres, 6);
  });

  it('20:1 takes 180.257704 mL, 6.095238 US fluid ounces, a US gallon', () => {
    const litres = (units.concentrateMlPerLitre(20) * units.litresPerUsGallon) / 1000;
    expect(litres * 1000).toBeCloseTo(180.257704, 6);
    expect(litres / units.litresPerUsFluidOunce).toBeCloseTo(6.095238, 6);
  });
});
