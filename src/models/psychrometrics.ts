import psychrolib from 'psychrolib';

psychrolib.SetUnitSystem(psychrolib.SI);

const seaLevelPa = 101_325;

/**
 * Saturation vapour pressure of water at a temperature (over ice at or below 0.01 °C).
 * Units: °C in, kPa out.
 * Source: Hyland and Wexler 1983 as printed in ASHRAE Fundamentals ch. 1, by the psychrolib library.
 * Checked: tests/references/psychrometrics.test.ts
 */
export function saturationKpa(temperatureC: number): number {
  return psychrolib.GetSatVapPres(temperatureC) / 1000;
}

/** Partial pressure of the water vapour in air, kPa, from °C and per cent relative humidity. */
export function vapourKpa(airC: number, rhPercent: number): number {
  return (rhPercent / 100) * saturationKpa(airC);
}

/**
 * Wet-bulb temperature of air at sea level: the temperature a wet cloth settles at while it dries in that air.
 * Units: °C and per cent relative humidity in, °C out.
 * The library's bisection stops at 0.001 °C, so the last digits are steps and not to be differentiated.
 * Source: ASHRAE Fundamentals ch. 1, the psychrometer equation, by the psychrolib library.
 * Checked: tests/references/psychrometrics.test.ts
 */
export function wetBulbC(airC: number, rhPercent: number): number {
  return psychrolib.GetTWetBulbFromRelHum(airC, rhPercent / 100, seaLevelPa);
}
