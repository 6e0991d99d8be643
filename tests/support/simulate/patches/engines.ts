import type { Random } from '../../../../seed/random.ts';
import type { Machine } from '../../../../src/domain/lists.ts';
import type { Tool } from '../types.ts';
import { lastDay } from './calendar.ts';

/*
 * The extractors of a shop: suction, flow, width of the nozzle, tank; better grades have more of each, a little of it by luck of the piece,
 * and all lose suction until they are serviced. Levels by grade: common practice, no source.
 */

export interface Engine extends Tool {
  readonly suction: number;
  readonly flow: number;
  readonly width: number;
  readonly tankL: number;
  readonly heated: boolean;
  /** Share of the suction lost by the end of a service interval, the interval's days and its beginning. */
  readonly clog: number;
  readonly serviceDays: number;
  readonly serviceAt: number;
}

export function drawEngines(random: Random): Engine[] {
  const n = random.chance(0.25) ? 1 : random.chance(0.6) ? 2 : 3;
  return Array.from({ length: n }, (_, i) => drawEngine(`m${i + 1}`, random));
}

export function suctionAt({ suction, clog, serviceDays, serviceAt }: Engine, hour: number): number {
  const days = hour / 24 - serviceAt;
  const sinceService = (((days % serviceDays) + serviceDays) % serviceDays) / serviceDays;
  return suction * (1 - clog * sinceService);
}

function drawEngine(key: string, random: Random): Engine {
  const grade = random.pick({ entry: 3, standard: 5, high: 3 });
  const level = levels[grade];
  const suction = level.suction * random.spread(0.07);
  const flow = level.flow * random.spread(0.07);
  const width = level.width * random.spread(0.05);
  return {
    key,
    grade,
    suction,
    flow,
    width,
    heated: random.chance(grade === 'entry' ? 0.1 : 0.6),
    tankL: level.tankL,
    clog: random.between(0, 0.25),
    serviceDays: random.between(60, 250),
    serviceAt: lastDay / 24 - random.between(0, 250),
    // the leanings that other mechanisms take as given; here they only follow
    passes: suction ** -0.35,
    time: 1 / width,
    water: flow / suction,
  };
}

interface Level {
  readonly suction: number;
  readonly flow: number;
  readonly width: number;
  readonly tankL: number;
}
const levels: Readonly<Record<Machine['grade'], Level>> = {
  entry: { suction: 0.84, flow: 0.95, width: 0.88, tankL: 5 },
  standard: { suction: 1, flow: 1, width: 1, tankL: 9 },
  high: { suction: 1.2, flow: 1.06, width: 1.12, tankL: 14 },
};
