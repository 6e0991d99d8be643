import type { Bench } from './bench.ts';

/*
 * Water in one patch: what is sprayed goes into the cloth, what the cloth cannot hold sinks into the foam, suction takes from both and less
 * from deep foam, and the foam gives a little back while people look. Rates: common practice, no source.
 */

/** L/m² in the cloth of each patch, and in the foam below. */
export interface Water {
  readonly inCloth: number[];
  readonly inFoam: number[];
}

export function waterOf(nPatches: number, inCloth: number): Water {
  return { inCloth: new Array<number>(nPatches).fill(inCloth), inFoam: new Array<number>(nPatches).fill(0) };
}

/** Sprays `put` L/m² onto patch p and draws the nozzle over it; returns the L/m² got back. */
export function sprayAndSuck(water: Water, p: number, put: number, dwell: number, pull: number, bench: Bench): number {
  const { cloth, depth, visit } = bench;
  const wetted = water.inCloth[p] + put;
  const over = Math.max(0, wetted - cloth.holds);
  const sinking = 0.38 * cloth.letsThrough * visit.wear * dwell * (0.6 + 0.4 * depth);
  const soaks = depth < 0.1 ? 0 : over * Math.min(0.75, sinking); // a mat has nothing below
  water.inCloth[p] = wetted - soaks;
  water.inFoam[p] += soaks;
  const recovered = suck(water, p, pull, depth, 1.12, 0.26);
  giveBack(water, p, cloth.holds);
  return recovered;
}

/** Draws the nozzle over patch p with the trigger off; returns the L/m² got back. */
export function suckOnly(water: Water, p: number, pull: number, depth: number): number {
  return suck(water, p, pull, depth, 0.62, 0.2);
}

/** Fresh water comes along more readily than what has settled: the rates of a wet pass are higher. */
function suck(water: Water, p: number, pull: number, depth: number, clothRate: number, foamRate: number): number {
  const fromCloth = water.inCloth[p] * (1 - Math.exp(-clothRate * pull));
  const fromFoam = water.inFoam[p] * (1 - Math.exp((-foamRate * pull) / (0.5 + depth)));
  water.inCloth[p] -= fromCloth;
  water.inFoam[p] -= fromFoam;
  return fromCloth + fromFoam;
}

function giveBack(water: Water, p: number, holds: number): void {
  const foam = water.inFoam[p];
  const back = Math.min(foam, 0.1 * foam * Math.max(0, 1 - water.inCloth[p] / holds));
  water.inCloth[p] += back;
  water.inFoam[p] = foam - back;
}
