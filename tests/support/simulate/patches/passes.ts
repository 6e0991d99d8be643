import type { Random } from '../../../../seed/random.ts';
import type { Bench } from './bench.ts';
import type { Engine } from './engines.ts';
import { sprayAndSuck, suckOnly, type Water } from './water.ts';

/*
 * One pass of the extractor's nozzle, wet or dry, over the patches that are meant: what it puts down, what it gets back, what dirt goes with
 * it and what comes up from below, and the minutes of the one machine. Minutes and litres: common practice, no source.
 */

/** The nozzle over one section. */
export interface Nozzle {
  readonly engine: Engine;
  /** Suction that reaches the cloth. */
  readonly pull: number;
  readonly water: Water;
}

/** Who holds the nozzle badly loses more with weak suction; overhead everybody does. */
export function pullOf({ visit, section }: Bench): number {
  const { suction, lead } = visit;
  const ofHand = lead.angle ** (1 + 0.8 * Math.max(0, 1 - suction));
  return suction * ofHand * (section.area === 'headliner' ? 0.8 : 1);
}

/** Over the dirty patches; `share` of all. */
export function wetPass(bench: Bench, nozzle: Nozzle, dirty: readonly boolean[], share: number, random: Random): void {
  const { visit, ledger, section, m2, cloth, awkward } = bench;
  const { engine } = nozzle;
  const dwell = random.spread(0.08);
  dirty.forEach((isDirty, p) => {
    if (isDirty) wetPatch(bench, nozzle, p, dwell, random);
  });
  const { slow, spared } = visit;
  const strokes = share * m2 * 6.1 * cloth.slow * awkward * slow * (1 / engine.width) * spared * random.gamma(20);
  ledger.machineMinutes += strokes + section.count * 1.3 * slow;
  ledger.refill += share * m2 * litresPerM2 * visit.shop.water * engine.flow * visit.lead.trigger;
}

/** Trigger off, over a share of the patches. */
export function dryPass(bench: Bench, { engine, pull, water }: Nozzle, share: number, random: Random): void {
  const { visit, ledger, m2, awkward, depth } = bench;
  const { slow, spared } = visit;
  ledger.machineMinutes += share * m2 * 3.0 * awkward * slow * (1 / engine.width) * spared * random.gamma(20);
  const nPatches = water.inCloth.length;
  for (let p = 0; p < nPatches; p += 1) {
    if (share < 1 && !random.chance(share)) continue;
    ledger.recovered += suckOnly(water, p, pull, depth) * (m2 / nPatches);
  }
}

/** Put down by a usual hand with a standard machine in one pass. */
const litresPerM2 = 0.74;

function wetPatch(bench: Bench, { engine, pull, water }: Nozzle, p: number, dwell: number, random: Random): void {
  const { visit, ledger, section, m2, loosens } = bench;
  const { bound } = bench.dirt;
  const longer = Math.min(2.2, Math.max(0.7, (bound[p] / 0.7) ** 0.22)); // one stays where it looks dirty
  const usual = litresPerM2 * visit.shop.water * engine.flow * visit.lead.trigger;
  const put = usual * longer * dwell * random.spread(0.12) * (section.area === 'headliner' ? 0.45 : 1);
  const patchM2 = m2 / bound.length;
  ledger.sprayed += put * patchM2;
  ledger.recovered += sprayAndSuck(water, p, put, dwell, pull, bench) * patchM2;
  bound[p] *= Math.exp(-loosens * dwell * pull ** 0.35 * (longer > 1.3 ? 1.08 : 1));
  comeUp(bench, p);
}

/** A fifth of what sits deep comes up each time, most of it into what shows. */
function comeUp({ dirt: { bound, deep } }: Bench, p: number): void {
  const up = deep[p] * 0.2;
  deep[p] -= up;
  bound[p] += 0.8 * up;
}
