import type { DryingAid, Fabric } from '../src/domain/vocabulary.ts';
import { type Air, bayAir, outdoorAir, saturationKpa, type Weather } from './weather.ts';

export interface WetPart {
  readonly fabric: Fabric;
  readonly leftPerM2: number;
}

/**
 * Hours until a wet part is dry to the touch, stepped through the changing air of the bay: a constant-rate period while
 * the cloth stays wet, then a rate that falls with what is left.
 *
 * Evaporation by mass transfer with a Lewis factor of one, the surface at the wet bulb.
 * **Source** heat transfer 5.7 + 3.8 v W/(m² K) (McAdams, from memory); two-period drying as in any text on drying.
 */
export function dryingHours(part: WetPart, foam: number, aid: DryingAid, startHour: number, weather: Weather): number {
  const critical = criticalOf[part.fabric] * foam;
  let left = part.leftPerM2;
  let hours = 0;
  while (left > dryPerM2 && hours < longestHours) {
    const free = evaporation(airAround(aid, startHour + hours, weather), speedOf[aid], aid === 'sun' ? 5 : 0);
    left -= stepHours * free * Math.min(1, left / critical);
    hours += stepHours;
  }
  return hours;
}

/** Air at the cloth under one drying aid. */
export function airAround(aid: DryingAid, hour: number, weather: Weather): Air {
  const bay = bayAir(weather, hour);
  if (aid === 'warm-room') return { airC: Math.max(bay.airC, 24), vapourKpa: bay.vapourKpa };
  if (aid === 'dehumidifier') return { airC: bay.airC + 1.5, vapourKpa: 0.75 * bay.vapourKpa };
  if (aid === 'sun' || aid === 'open-doors') return halfway(bay, outdoorAir(weather, hour));
  return bay;
}

/** Free-surface evaporation, kg/(m² h), never negative: damp air is not let condense on the seats. */
export function evaporation(air: Air, speedMs: number, surfaceExcessC: number): number {
  const heatTransfer = 5.7 + 3.8 * speedMs;
  const surface = saturationKpa(wetBulb(air) + surfaceExcessC);
  return Math.max(0, (3600 * heatTransfer * (humidityRatio(surface) - humidityRatio(air.vapourKpa))) / humidHeat);
}

/** Wet bulb by bisection of the psychrometric equation, e = es(tw) − 0.000665 · 101.325 (t − tw). */
function wetBulb({ airC, vapourKpa }: Air): number {
  let low = airC - 40;
  let high = airC;
  for (let i = 0; i < 30; i += 1) {
    const middle = (low + high) / 2;
    if (saturationKpa(middle) - 0.0674 * (airC - middle) < vapourKpa) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

function humidityRatio(vapourKpa: number): number {
  return (0.622 * vapourKpa) / (101.325 - vapourKpa);
}

function halfway(a: Air, b: Air): Air {
  return { airC: (a.airC + b.airC) / 2, vapourKpa: (a.vapourKpa + b.vapourKpa) / 2 };
}

/** J/(kg K) of humid air; kg/m² that feel dry; hours. */
const humidHeat = 1018;
const dryPerM2 = 0.035;
const stepHours = 0.1;
const longestHours = 120;

export const speedOf: Readonly<Record<DryingAid, number>> = {
  'still-air': 0.1,
  'open-doors': 0.4,
  fan: 1.4,
  dehumidifier: 0.3,
  'warm-room': 0.15,
  sun: 0.3,
};
/** Water at which a cloth stops feeding its surface, kg/m². */
const criticalOf: Readonly<Record<Fabric, number>> = {
  'flat-woven': 0.15,
  knit: 0.15,
  velour: 0.18,
  'suede-like': 0.17,
  'loop-carpet': 0.21,
  'cut-pile': 0.24,
  headlining: 0.12,
};
