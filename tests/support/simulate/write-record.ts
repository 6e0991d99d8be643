import type { Random } from '../../../seed/random.ts';
import { type DryingCheck, type FinishedJob, finishedJob } from '../../../src/domain/record.ts';
import type { JobSetting, Outcome, SimulationOptions } from './types.ts';

/** An outcome as it would be written down: minutes to five, litres to the reading step, drying between two looks. */
export function writeRecord(
  setting: JobSetting,
  outcome: Outcome,
  ref: string,
  options: SimulationOptions,
  random: Random,
): FinishedJob {
  const { planned, person, mate, startHour } = setting;
  const { measuredShare = 0.5, checkedShare = 0.6, surfaceShare = 1, readingStep = 1 } = options;
  const {
    technician: _technician,
    crew,
    startAt: _startAt,
    alternatives: _others,
    sections,
    drying,
    ...rest
  } = planned;
  const finishedHour = startHour + outcome.hours / crew;
  const measured = random.chance(measuredShare) && setting.tool !== undefined;
  const checked = random.chance(checkedShare);
  const withSurface = random.chance(surfaceShare);
  return finishedJob.parse({
    ...rest,
    ref,
    finishedAt: new Date(Math.round(finishedHour * 60) * 60_000).toISOString(),
    labour: writeLabour(60 * outcome.hours, mate ? [person.key, mate.key] : [person.key]),
    ...(measured && readTanks(outcome, readingStep)),
    sections: sections.map(({ surfaceM2, ...section }, i) => ({
      ...section,
      ...(withSurface && { surfaceM2 }),
      wetPasses: outcome.sections[i].made,
      ...(section.method !== 'spot' && { dryPasses: outcome.sections[i].dryPasses }),
      result: outcome.sections[i].clean ? 'clean' : 'improved',
    })),
    drying: { ...drying, checks: checked ? looks(finishedHour, outcome.dryingHours, random) : [] },
  });
}

function writeLabour(minutes: number, keys: readonly string[]): FinishedJob['labour'] {
  return keys.map((technician) => ({ technician, minutes: Math.max(5, 5 * Math.round(minutes / keys.length / 5)) }));
}

/** Both tanks read to the step, filled to a mark before; recovered above sprayed would be noticed, and is written as all of it. */
function readTanks({ sprayedLitres, recoveredLitres }: Outcome, step: number) {
  const sprayed = Math.round(sprayedLitres / step);
  const recovered = Math.min(sprayed, Math.round(recoveredLitres / step));
  const inLitres = (count: number) => Number((count * step).toFixed(1));
  return { sprayedLitres: inLitres(sprayed), recoveredLitres: inLitres(recovered) };
}

/** Looks at moments that do not wait for the outcome: in between, before closing, the next mornings and noons; the first dry one is the last. */
function looks(finishedHour: number, dryHours: number, random: Random): DryingCheck[] {
  const untilMorning = 32 - (finishedHour % 24);
  const moments = [
    random.between(1.5, 4),
    18 - (finishedHour % 24),
    untilMorning,
    untilMorning + 5,
    untilMorning + 9.5,
    untilMorning + 24,
  ];
  const checks: DryingCheck[] = [];
  for (const moment of moments.sort((a, b) => a - b)) {
    const hours = Math.round(4 * moment) / 4;
    if (hours <= 0.5 || hours === checks.at(-1)?.hours || random.chance(0.25)) continue;
    const dry = dryHours <= hours;
    checks.push({ hours, dry });
    if (dry) break;
  }
  return checks;
}
