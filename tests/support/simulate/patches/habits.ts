import type { Random } from '../../../../seed/random.ts';
import type { DryingAid } from '../../../../src/domain/vocabulary.ts';
import type { SimulationOptions } from '../types.ts';
import type { Bay } from './air.ts';
import { drawEngines, type Engine } from './engines.ts';
import { drawHands, type Hand } from './people.ts';

/*
 * All that stays the same in one shop: its people and extractors, what counts as clean there and how fast they go, its bay, its trade (which
 * work comes and how it is taken on), and how much of all that it writes down. Spreads and shares: common practice, no source.
 */

export interface PatchShop {
  readonly hands: readonly Hand[];
  readonly engines: readonly Engine[];
  readonly bay: Bay;
  /** What counts as clean here: higher is laxer. */
  readonly standard: number;
  readonly clientele: number;
  readonly pace: number;
  /** How long seat bolts take here, with the tools that they have. */
  readonly access: number;
  readonly water: number;
  readonly setUp: number;
  /** Share of the waiting for the one machine that a second person books as work. */
  readonly idleBooked: number;
  readonly bustle: number;
  readonly strength: number;
  /** The last round's water goes into a tank of its own. */
  readonly vacuumApart: boolean;
  readonly aids: Readonly<Partial<Record<DryingAid, number>>>;
  readonly papers: Papers;
  readonly trade: Trade;
}

/** Shares of the jobs with each of these written down, and the step of the tanks' scale in litres. */
export interface Papers {
  readonly litres: number;
  readonly step: number;
  readonly surfaces: number;
  readonly air: number;
  readonly aid: number;
  readonly checks: number;
  /** Plans that name who will do it. */
  readonly named: number;
}

export interface Trade {
  readonly outShare: number;
  readonly crewShare: number;
  readonly spotShare: number;
  /** Share of whole interiors. */
  readonly whole: number;
  readonly bestToWorst: boolean;
  readonly vacuumHabit: number;
  readonly usualDilution: number;
  readonly stainRate: number;
}

export function drawShop(options: SimulationOptions, random: Random): PatchShop {
  const hands = drawHands(options, random);
  const engines = drawEngines(random);
  const climate = { warmest: random.chance(0.25) ? 0.05 : 0.55, meanC: random.between(7, 22) }; // one in four south of the equator
  return {
    hands,
    engines,
    standard: random.spread(0.18),
    clientele: random.spread(0.25),
    pace: random.spread(0.16),
    access: random.spread(0.15),
    water: random.spread(0.1),
    setUp: random.between(8, 18),
    idleBooked: random.between(0.3, 1),
    bustle: random.spread(0.4),
    strength: random.spread(0.08),
    vacuumApart: random.chance(0.5),
    aids: drawAids(random),
    bay: drawBay(climate, random),
    papers: drawPapers(options, random),
    trade: drawTrade(options, random),
  };
}

/** What a shop likes to dry with, as weights. */
function drawAids(random: Random): PatchShop['aids'] {
  return {
    'still-air': random.uniform(),
    'open-doors': random.uniform(),
    fan: 2 * random.uniform(),
    dehumidifier: 0.4 * random.uniform(),
    'warm-room': 0.3 * random.uniform(),
    sun: 0.3 * random.uniform(),
  };
}

function drawBay(climate: Pick<Bay, 'warmest' | 'meanC'>, random: Random): Bay {
  return {
    ...climate,
    swingC: random.between(3, 11),
    dampness: random.between(50, 75),
    heatedToC: random.between(15, 21),
    shut: random.between(0.5, 1),
    nightDrop: random.between(1, 7),
    fanAtNight: random.chance(0.6),
    draught: random.spread(0.18),
  };
}

function drawPapers(options: SimulationOptions, random: Random): Papers {
  return {
    litres: options.measuredShare ?? random.between(0.25, 0.75),
    step: options.readingStep ?? (random.chance(0.5) ? 0.5 : 1),
    surfaces: options.surfaceShare ?? random.between(0, 0.5),
    air: random.between(0.1, 0.8),
    aid: random.between(0.5, 1),
    checks: options.checkedShare ?? random.between(0.3, 0.8),
    named: random.between(0.5, 1),
  };
}

function drawTrade({ harderToBetter }: SimulationOptions, random: Random): Trade {
  return {
    outShare: random.between(0.15, 0.6),
    crewShare: random.between(0.05, 0.4),
    spotShare: random.between(0.6, 1.5),
    whole: random.between(0.1, 0.35),
    bestToWorst: harderToBetter ?? random.chance(0.4),
    vacuumHabit: random.uniform(),
    usualDilution: [16, 20, 20, 20, 30][Math.floor(random.uniform() * 5)],
    stainRate: random.between(0.3, 0.8),
  };
}
