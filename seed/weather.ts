import type { Random } from './random.ts';

/** Air at one hour: temperature, and the water vapour in it as partial pressure. */
export interface Air {
  readonly airC: number;
  readonly vapourKpa: number;
}

/** Daily departures from the season, one a day of the history, each day remembering the one before. */
export interface Weather {
  readonly firstDay: number;
  readonly warmth: Float64Array;
  readonly damp: Float64Array;
}

export function drawWeather(firstDay: number, nDays: number, random: Random): Weather {
  return { firstDay, warmth: remembering(nDays, 2.4, 0.75, random), damp: remembering(nDays, 0.09, 0.6, random) };
}

/** Outdoor air of the invented town: cold damp winters, mild summers. `hour` counts from 1970 in hours. */
export function outdoorAir(weather: Weather, hour: number): Air {
  const day = Math.floor(hour / 24);
  const index = Math.min(Math.max(day - weather.firstDay, 0), weather.warmth.length - 1);
  const season = -Math.cos((2 * Math.PI * (day - 19)) / 365.25);
  const meanC = 10.5 + 7.5 * season + (weather.warmth[index] ?? 0);
  const swing = (3 + 1.5 * season) * -Math.cos((2 * Math.PI * ((hour % 24) - 3)) / 24);
  const relative = clamp(0.78 - 0.07 * season + (weather.damp[index] ?? 0), 0.45, 0.97);
  return { airC: meanC + swing, vapourKpa: relative * saturationKpa(meanC) };
}

/** Air in the bay: heated to 17 °C while people work, slow to cool, a little damper than outside. */
export function bayAir(weather: Weather, hour: number): Air {
  const outside = outdoorAir(weather, hour);
  const working = hour % 24 >= 7.5 && hour % 24 <= 18.5;
  const airC = Math.max(outside.airC + 2.5, working ? 17 : 12);
  return { airC, vapourKpa: Math.min(outside.vapourKpa + 0.12, 0.93 * saturationKpa(airC)) };
}

/** Saturation pressure over water, kPa. **Source** Magnus form with the constants of Alduchov and Eskridge (1996); from memory. */
export function saturationKpa(airC: number): number {
  return 0.61094 * Math.exp((17.625 * airC) / (airC + 243.04));
}

export function relativeHumidity(air: Air): number {
  return (100 * air.vapourKpa) / saturationKpa(air.airC);
}

function remembering(n: number, sd: number, memory: number, random: Random): Float64Array {
  const series = new Float64Array(n);
  let level = sd * random.normal();
  for (let i = 0; i < n; i += 1) {
    series[i] = level;
    level = memory * level + sd * Math.sqrt(1 - memory * memory) * random.normal();
  }
  return series;
}

function clamp(value: number, low: number, high: number): number {
  return Math.min(Math.max(value, low), high);
}
