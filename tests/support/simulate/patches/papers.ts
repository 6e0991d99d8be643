import type { Random } from '../../../../seed/random.ts';
import { type DryingCheck, type FinishedJob, finishedJob } from '../../../../src/domain/record.ts';
import { clock, iso } from './calendar.ts';
import type { Papers } from './habits.ts';
import type { PatchOutcome } from './patches.ts';
import type { PatchSetting } from './visit.ts';

/*
 * What is written down of a job: minutes rounded as each one does, litres off the scale of the tank where someone looked, dry passes where
 * nobody forgot them, and whether cloth was dry at the hours at which people pass by. Shares: common practice, no source.
 */

export function writeRecord(setting: PatchSetting, outcome: PatchOutcome, ref: string, random: Random): FinishedJob {
  const { technician: _t, crew: _c, startAt: _s, alternatives: _a, drying, ...planned } = setting.planned;
  const { papers } = setting.shop;
  const { lead } = outcome;
  const forgetsDry = random.chance(lead.forgetsDry);
  const hasExtraction = planned.sections.some(({ method }) => method !== 'spot');
  const hasLitres = hasExtraction && random.chance(Math.min(1, papers.litres * lead.writesLitres));
  const checks = random.chance(Math.min(1, papers.checks * lead.checks)) ? checksOf(outcome, random) : [];
  return finishedJob.parse({
    ...planned,
    ref,
    finishedAt: iso(outcome.finishHour),
    labour: labourOf(outcome),
    ...(random.chance(0.6) && { finalVacuum: outcome.finalVacuum }),
    ...(hasLitres && tanksOf(outcome, papers, random)),
    sections: planned.sections.map((section, i) => ({ ...section, ...workOf(section.method, outcome, i, forgetsDry) })),
    ...((drying || checks.length > 0) && { drying: { ...drying, checks } }),
  });
}

function labourOf({ lead, mate, minutes }: PatchOutcome): FinishedJob['labour'] {
  const rounded = (value: number, step: number) => Math.max(step, Math.round(value / step) * step);
  return [
    { technician: lead.key, minutes: rounded(minutes[0], lead.roundsTo) },
    ...(mate ? [{ technician: mate.key, minutes: rounded(minutes[1], mate.roundsTo) }] : []),
  ];
}

/** Foam in the tank, a floor that is not level: a few per cent and a glass either way, then to the scale: hardly any water may read as more back than out. */
function tanksOf(outcome: PatchOutcome, { step }: Papers, random: Random) {
  const read = (litres: number) => Math.max(0, Math.round(litres / step) * step);
  return {
    sprayedLitres: read(outcome.sprayedLitres * random.spread(0.03) + 0.1 * random.normal()),
    recoveredLitres: read(outcome.recoveredLitres * random.spread(0.03) + 0.05 * random.normal()),
  };
}

function workOf(method: string, { sections, spotRounds }: PatchOutcome, i: number, forgetsDry: boolean) {
  const { made, clean, dryPasses } = sections[i];
  return {
    wetPasses: made,
    ...(method === 'spot-then-extraction' && { spotRounds: spotRounds[i] }),
    ...(method !== 'spot' && !forgetsDry && { dryPasses }),
    result: clean ? 'clean' : 'improved',
  };
}

/** Hands on the cloth when someone passes by: at closing, in the morning, around noon; once dry nobody looks again. */
function checksOf({ dryingHours, finishHour }: PatchOutcome, random: Random): DryingCheck[] {
  const felt = dryingHours * random.spread(0.08);
  const checks: DryingCheck[] = [];
  for (let t = random.between(0.5, 3); t < 100; t += 0.5) {
    if (!random.chance(passesBy(clock(finishHour + t)))) continue;
    const hours = Math.round(4 * t) / 4;
    checks.push({ hours, dry: hours >= felt });
    if (hours >= felt || checks.length >= 5 || random.chance(0.1)) break;
  }
  return checks;
}

/** Chance that somebody does, in this half hour of the day. */
function passesBy(at: number): number {
  if ((at >= 7.75 && at < 8.75) || (at >= 11.5 && at < 12.5) || (at >= 17 && at < 18)) return 0.42;
  return at > 8 && at < 18 ? 0.12 : 0;
}
