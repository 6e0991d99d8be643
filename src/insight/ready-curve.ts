import type { GivenReadyBy } from './given-estimate.ts';

/** A moment, and the chance (0 to 1) that the vehicle is ready by then. */
export interface ReadyChance {
  readonly at: Date;
  readonly chance: number;
}

/** The quantiles of the ready-by time in their order; those that a former version did not give are left out. */
export function readyCurve(readyBy: GivenReadyBy): readonly ReadyChance[] {
  return levels.flatMap(([name, chance]) => {
    const at = readyBy[name];
    return at === undefined ? [] : [{ at: new Date(at), chance }];
  });
}

/**
 * The chance of being ready by a moment, straight between the quantiles. Undefined outside of them: less than the
 * first, or more than the last.
 */
export function chanceBy(curve: readonly ReadyChance[], at: Date): number | undefined {
  const next = curve.findIndex((point) => point.at >= at);
  const [to, from] = [curve[next], curve[next - 1]];
  if (to === undefined) return undefined;
  if (to.at.getTime() === at.getTime()) return to.chance;
  if (from === undefined) return undefined;
  const way = (at.getTime() - from.at.getTime()) / (to.at.getTime() - from.at.getTime());
  return from.chance + way * (to.chance - from.chance);
}

/** The curve up to a moment, with a point there where it runs on. */
export function curveUntil(curve: readonly ReadyChance[], until: Date): readonly ReadyChance[] {
  const within = curve.filter(({ at }) => at <= until);
  const chance = chanceBy(curve, until);
  return chance === undefined || within.at(-1)?.chance === chance ? within : [...within, { at: until, chance }];
}

const levels = [
  ['p05', 0.05],
  ['p10', 0.1],
  ['p25', 0.25],
  ['p50', 0.5],
  ['p75', 0.75],
  ['p80', 0.8],
  ['p90', 0.9],
  ['p95', 0.95],
] as const;
