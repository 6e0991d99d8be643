import type { Random } from '../../../seed/random.ts';
import { type DryingCheck, type FinishedJob, finishedJob } from '../../../src/domain/record.ts';
import type { SpongeSetting } from './sponge.ts';
import type { SpongeShop } from './sponge-shop.ts';
import type { Outcome } from './types.ts';

/** An outcome as it was written down, by people who round, forget, and look when they pass by. */
export function writeSpongeRecord(
  setting: SpongeSetting,
  outcome: Outcome,
  ref: string,
  { options }: SpongeShop,
  random: Random,
): FinishedJob {
  const { technician: _technician, crew, startAt: _startAt, alternatives: _others, ...planned } = setting.planned;
  const { measuredShare = 0.55, checkedShare = 0.6, surfaceShare = 0.7, readingStep = 0.5 } = options;
  const finishedHour = setting.startHour + outcome.hours / crew;
  const isMeasured = random.chance(measuredShare) && setting.tool !== undefined;
  const [isChecked, hasSurface] = [random.chance(checkedShare), random.chance(surfaceShare)];
  const checks = isChecked ? looks(finishedHour, outcome.dryingHours, random) : [];
  return finishedJob.parse({
    ...planned,
    ref,
    finishedAt: new Date(Math.round(finishedHour * 60) * 60_000).toISOString(),
    labour: labourOf(setting, outcome, random),
    ...(isMeasured && tanks(outcome, readingStep)),
    sections: planned.sections.map(({ surfaceM2, ...section }, i) => ({
      ...section,
      ...(hasSurface && { surfaceM2 }),
      wetPasses: outcome.sections[i].made,
      ...(section.method !== 'spot' && random.chance(0.85) && { dryPasses: outcome.sections[i].dryPasses }),
      result: outcome.sections[i].clean ? 'clean' : 'improved',
    })),
    ...((planned.drying || checks.length > 0) && { drying: { ...planned.drying, checks } }),
  });
}

function labourOf({ person, mate }: SpongeSetting, { hours }: Outcome, random: Random): FinishedJob['labour'] {
  const minutes = 60 * hours;
  const rounded = (value: number) => Math.max(5, person.roundsTo * Math.round(value / person.roundsTo));
  if (!mate) return [{ technician: person.key, minutes: rounded(minutes) }];
  const share = random.between(0.48, 0.6);
  return [
    { technician: person.key, minutes: rounded(share * minutes) },
    { technician: mate.key, minutes: rounded((1 - share) * minutes) },
  ];
}

function tanks({ sprayedLitres, recoveredLitres }: Outcome, step: number) {
  const read = (litres: number) => Number((step * Math.round(litres / step)).toFixed(1));
  return { sprayedLitres: read(sprayedLitres), recoveredLitres: Math.min(read(sprayedLitres), read(recoveredLitres)) };
}

/** On the way out, next morning, when the customer rings: hours that have nothing to do with how wet it is; once dry nobody looks again. */
function looks(finishedHour: number, dryHours: number, random: Random): DryingCheck[] {
  const clock = finishedHour % 24;
  const moments = [
    random.between(0.5, 3),
    random.between(3, 7),
    17.5 + random.between(-0.5, 0.5) - clock,
    32 + random.between(0, 1) - clock,
    36.5 + random.between(-1, 1) - clock,
    41 - clock,
    56.5 - clock,
  ];
  const checks: DryingCheck[] = [];
  for (const moment of moments.sort((a, b) => a - b)) {
    const hours = Math.round(4 * moment) / 4;
    if (hours < 0.5 || hours === checks.at(-1)?.hours || random.chance(0.45)) continue;
    const dry = dryHours <= hours;
    checks.push({ hours, dry });
    if (dry || random.chance(0.1)) break;
  }
  return checks;
}
