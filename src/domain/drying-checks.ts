import { type Fault, fault, faultSaying, type Path } from './faults.ts';
import type { DryingCheck } from './record.ts';

/** Checks in the order of their hours, the same one said twice kept once. */
export function sortedChecks(checks: readonly DryingCheck[]): DryingCheck[] {
  const byHour = [...checks].sort((a, b) => a.hours - b.hours);
  return byHour.filter((check, i) => check.hours !== byHour[i - 1]?.hours);
}

/** A section that was dry does not get wet again: one fault for each check that says so. */
export function checkContradictions(checks: readonly (DryingCheck | undefined)[]): Fault[] {
  const dry = checks.findIndex((check) => check?.dry && check.hours === firstDryHour(checks));
  const dryCheck = checks[dry];
  if (!dryCheck) return [];
  return checks.flatMap((check, i) => {
    if (!check || check.dry || check.hours < dryCheck.hours) return [];
    const path = ['drying', 'checks', i];
    const other = `drying.checks[${dry}] is dry at ${dryCheck.hours} h`;
    const message = `drying.checks[${i}] is wet at ${check.hours} h, but ${other}: what was dry does not get wet again`;
    return [faultSaying(path, message)];
  });
}

/** Checks to be added that go against those there or each other; `at`: where each stands in what came. */
export function addedContradictions(
  more: readonly DryingCheck[],
  there: readonly DryingCheck[],
  at: (index: number) => Path,
): Fault[] {
  const all = [...there, ...more];
  const firstDry = firstDryHour(all);
  const lastWet = Math.max(...all.map(({ hours, dry }) => (dry ? Number.NEGATIVE_INFINITY : hours)));
  return more.flatMap(({ hours, dry }, i) => {
    if (dry ? hours > lastWet : hours < firstDry) return [];
    const rule = dry
      ? `at ${hours} h, but it was still wet at ${lastWet} h: what was dry does not get wet again`
      : `at ${hours} h, but it was dry at ${firstDry} h: what was dry does not get wet again`;
    return [fault([...at(i), 'dry'], dry, rule)];
  });
}

function firstDryHour(checks: readonly (DryingCheck | undefined)[]): number {
  return Math.min(...checks.map((check) => (check?.dry ? check.hours : Number.POSITIVE_INFINITY)));
}
