import type { DryingCheck } from '../src/domain/record.ts';
import type { Comeback, Damage, Result } from '../src/domain/vocabulary.ts';
import type { WorkedPart } from './process-time.ts';
import type { Random } from './random.ts';

/** Touch checks as in life: between two other jobs, before closing, on opening, at noon, never on a Sunday; the first dry one ends them. */
export function dryingChecks(finishedHour: number, dryHours: number, lastHour: number, random: Random): DryingCheck[] {
  const checks: DryingCheck[] = [];
  for (const at of checkMoments(finishedHour, random)) {
    const hours = Math.round(4 * (at - finishedHour)) / 4;
    if (hours <= 0 || at > lastHour) continue;
    const dry = hours >= dryHours;
    checks.push({ hours, dry });
    if (dry) break;
  }
  return checks;
}

/** When the vehicle goes back: the same evening where it was found dry or is not asked about, else the next day. */
export function handedBackAfter(checks: readonly DryingCheck[], finishedHour: number, random: Random): number {
  const dry = checks.find((check) => check.dry);
  if (dry) return dry.hours;
  const closing = Math.max(0.5, 17.75 - (finishedHour % 24));
  return random.chance(0.25) ? closing : closing + 15 + random.between(0, 5);
}

/** What a customer comes back with: water left in the foam brings stains and smells up, the rim of a spot dries to a ring. */
export function drawComeback(
  worked: readonly WorkedPart[],
  dryHours: number,
  handedBack: number,
  random: Random,
): Comeback {
  const wettest = Math.max(...worked.map(({ water }) => water.leftPerM2));
  const stains = worked.flatMap(({ part }) => part.stains);
  const rising = stains.reduce((sum, stain) => sum + (wicking[stain] ?? 0), 0);
  const hazards: Partial<Record<Comeback, number>> = {
    'wick-back': 0.02 * rising * (wettest / 0.35) ** 1.8,
    odour: 0.025 * Math.max(0, dryHours / 20 - 1) + (stains.includes('pet') ? 0.03 * (wettest / 0.35) : 0),
    ring: worked.some(({ part }) => part.method === 'spot' && part.stains.includes('drink')) ? 0.05 : 0.003,
    'still-damp': handedBack < dryHours ? 0.05 + 0.2 * Math.min(1, (dryHours - handedBack) / 8) : 0,
  };
  const total = Object.values(hazards).reduce((sum, hazard) => sum + hazard, 0);
  return random.chance(1 - Math.exp(-total)) ? random.pick<Comeback>(hazards) : 'none';
}

export function drawDamage(worked: readonly WorkedPart[], random: Random): Damage {
  const rough = worked.some(
    ({ part, soil }) => soil.brush === 'medium' && pilling.has(part.fabric) && soil.wetPasses > 3,
  );
  if (rough && random.chance(0.04)) return 'pilling';
  return random.chance(0.002) ? random.pick<Damage>({ 'colour-loss': 3, shrinkage: 1 }) : 'none';
}

/** The vehicle as a whole: as good as its worst part. */
export function handover(worked: readonly WorkedPart[]): Result {
  const results = worked.map(({ soil }) => soil.result);
  if (results.every((result) => result === 'unchanged')) return 'unchanged';
  return results.every((result) => result === 'clean') ? 'clean' : 'improved';
}

function checkMoments(finishedHour: number, random: Random): number[] {
  const midnight = 24 * Math.floor(finishedHour / 24);
  const moments: number[] = [];
  if (random.chance(0.35)) moments.push(finishedHour + random.between(1, 3));
  if (random.chance(0.75)) moments.push(midnight + random.between(17.2, 18.2));
  const nextDays = [24, 48, 72].flatMap((day) => [day + 8.1, day + 12.5, day + 17.5]);
  for (const hour of nextDays) if (random.chance(hour % 24 < 9 ? 0.85 : 0.55)) moments.push(midnight + hour);
  return moments
    .filter((moment) => moment > finishedHour + 0.4 && (Math.floor(moment / 24) + 4) % 7 !== 0)
    .sort((a, b) => a - b);
}

const pilling: ReadonlySet<string> = new Set(['knit', 'velour', 'suede-like']);
/** How readily a stain's rest travels up with the drying water. */
const wicking: Readonly<Record<string, number>> = {
  drink: 1,
  food: 0.6,
  oil: 0.6,
  pet: 0.9,
  dye: 0.8,
  mud: 0.5,
  unknown: 0.5,
};
