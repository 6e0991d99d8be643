import { describe, expect, it } from 'vitest';
import { saturationKpa, vapourKpa, wetBulbC } from '../../src/models/psychrometrics.ts';

/**
 * Saturation vapour pressure over water, Pa: IAPWS SR1-86(1992), IAPWS-IF97 region 4 and Hyland and Wexler 1983 (ASHRAE), each computed
 * from its published formula with 50 digits (mpmath) and anchored to the releases' own verification values.
 * Tolerance: the three differ among themselves by up to 0.025 % between 0 and 50 °C; 3e-4 relative holds them all.
 * At 0 °C the library takes the ice formula (at or below 0.01 °C): 611.15, still inside.
 */
describe('reference: saturation vapour pressure', () => {
  it.each([
    [0, 611.2128, 611.2127, 611.2129],
    [5, 872.5302, 872.5749, 872.4867],
    [10, 1228.1122, 1228.1838, 1227.9953],
    [15, 1705.677, 1705.7449, 1705.4478],
    [20, 2339.1937, 2339.2148, 2338.8037],
    [25, 3169.8245, 3169.747, 3169.2165],
    [30, 4246.9199, 4246.6883, 4246.0302],
    [35, 5629.0574, 5628.6201, 5627.8194],
    [40, 7385.1105, 7384.4275, 7383.46],
    [50, 12352.4789, 12351.2704, 12349.8565],
  ])('%f °C', (celsius, ...published) => {
    for (const pascal of published) expect(Math.abs((1000 * saturationKpa(celsius)) / pascal - 1)).toBeLessThan(3e-4);
  });

  /** ASHRAE Fundamentals 2017 ch. 1 table 3, as quoted in the tests of the PsychroLib project with 300 ppm. */
  it.each([
    [-20, 103.24],
    [-5, 401.74],
    [5, 872.6],
    [25, 3169.7],
    [50, 12351.3],
    [100, 101418.0],
  ])('%f °C as ASHRAE prints it', (celsius, pascal) => {
    expect(Math.abs((1000 * saturationKpa(celsius)) / pascal - 1)).toBeLessThan(3e-4);
  });

  /** Magnus form by Alduchov and Eskridge 1996, and Tetens in FAO-56: other formulas, within 0.33 % and 0.14 %. */
  it.each([
    [10, 1226.0206, 1227.9626],
    [20, 2333.4406, 2338.2813],
    [30, 4236.6503, 4243.0651],
    [40, 7374.7167, 7375.6136],
  ])('%f °C by two simpler formulas, to half a per cent', (celsius, ...simple) => {
    for (const pascal of simple) expect(Math.abs((1000 * saturationKpa(celsius)) / pascal - 1)).toBeLessThan(5e-3);
  });
});

/**
 * Wet bulb at 101325 Pa, °C: the ASHRAE psychrometer equation W = [(2501 − 2.326 t*) Ws(t*) − 1.006 (t − t*)] / (2501 + 1.86 t − 4.186 t*)
 * solved to 1e-9 outside the library. Tolerance 0.001 °C: where the library's own bisection stops.
 */
describe('reference: wet bulb and vapour pressure of moist air', () => {
  it.each([
    [5, 50, 436.2433271, 1.35410537],
    [5, 100, 872.4866543, 5],
    [10, 10, 122.7995275, 1.46326013],
    [10, 50, 613.9976377, 5.53626376],
    [15, 50, 852.7238972, 9.6722543],
    [20, 30, 701.64111, 10.85334242],
    [20, 50, 1169.40185, 13.78355447],
    [20, 70, 1637.16259, 16.44035006],
    [25, 30, 950.764941, 14.421812],
    [25, 50, 1584.608235, 17.88934225],
    [25, 70, 2218.451529, 20.96529863],
    [30, 50, 2123.015122, 22.00497958],
    [40, 30, 2215.038003, 25.09355699],
  ])('%f °C at %f per cent', (celsius, rhPercent, vapourPa, wetBulb) => {
    expect(Math.abs((1000 * vapourKpa(celsius, rhPercent)) / vapourPa - 1)).toBeLessThan(1e-8);
    expect(Math.abs(wetBulbC(celsius, rhPercent) - wetBulb)).toBeLessThan(1e-3);
  });

  /** ASHRAE Fundamentals 2017 ch. 1 example 1 (quoted in the tests of the PsychroLib project): 40 °C, wet bulb 20 °C is 14 % by the chart, read to 1 %. */
  it('finds the wet bulb of ASHRAE’s first example again', () => {
    expect(wetBulbC(40, 13.9794886)).toBeCloseTo(20, 2);
    expect(Math.abs(wetBulbC(40, 14) - 20)).toBeLessThan(0.2);
  });
});
