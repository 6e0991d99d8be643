import type { OptionDraws } from './model-draws.ts';
import type { PlannedWork } from './planned-work.ts';

/** Steps that fill the unit interval evenly at any length: the fractional parts of the golden ratio and of the root of two. */
const technicianStep = (Math.sqrt(5) - 1) / 2;
const machineStep = Math.SQRT2 - 1;

/** Hands the draws out to the plan's technicians and extractors by share, evenly rather than by chance: no noise of its own. */
export function optionDraws({ technicians, machines }: PlannedWork, nDraws: number): OptionDraws {
  return {
    technician: handOut(
      technicians.map(({ share }) => share),
      technicianStep,
      nDraws,
    ),
    machine: handOut(
      machines.map(({ share }) => share),
      machineStep,
      nDraws,
    ),
  };
}

function handOut(shares: readonly number[], step: number, nDraws: number): Uint16Array {
  const result = new Uint16Array(nDraws);
  if (shares.length === 1) return result;
  for (let draw = 0; draw < nDraws; draw++) {
    let left = ((draw + 0.5) * step) % 1;
    let option = 0;
    while (option < shares.length - 1 && left >= shares[option]) left -= shares[option++];
    result[draw] = option;
  }
  return result;
}
