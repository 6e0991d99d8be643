import type { MachineOption, PlannedWork } from './planned-work.ts';

/** One way in which the job may be done: who gets it, with which extractor. */
export interface WorkOption {
  readonly technician: string | undefined;
  readonly machine: MachineOption;
}

/** The ways, and which of them each draw takes: one index a draw. */
export interface OptionDraws {
  readonly options: readonly WorkOption[];
  readonly option: Uint16Array;
  /** The same by place in the plan's own lists. */
  readonly technician: Uint16Array;
  readonly machine: Uint16Array;
}

/** Steps that fill the unit interval evenly at any length: the fractional parts of the golden ratio and of the root of two. */
const technicianStep = (Math.sqrt(5) - 1) / 2;
const machineStep = Math.SQRT2 - 1;

/** Hands the draws out to the plan's technicians and extractors by share, evenly rather than by chance: no noise of its own. */
export function optionDraws({ technicians, machines }: PlannedWork, nDraws: number): OptionDraws {
  const technician = handOut(technicians, technicianStep, nDraws);
  const machine = handOut(machines, machineStep, nDraws);
  return {
    options: technicians.flatMap(({ key }) => machines.map((one) => ({ technician: key, machine: one }))),
    option: technician.map((t, d) => t * machines.length + machine[d]),
    technician,
    machine,
  };
}

function handOut(ways: readonly { readonly share: number }[], step: number, nDraws: number): Uint16Array {
  const result = new Uint16Array(nDraws);
  if (ways.length === 1) return result;
  const upTo = ways.map((_, i) => ways.slice(0, i + 1).reduce((sum, { share }) => sum + share, 0));
  for (let draw = 0; draw < nDraws; draw++) {
    const place = ((draw + 0.5) * step) % 1;
    let way = 0;
    while (way < ways.length - 1 && place >= upTo[way]) way++;
    result[draw] = way;
  }
  return result;
}
