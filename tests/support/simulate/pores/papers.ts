import type { Random } from '../../../../seed/random.ts';
import { type FinishedJob, type FinishedJobInput, finishedJob } from '../../../../src/domain/record.ts';
import type { Habits } from './shop.ts';
import type { Setting, Worked } from './types.ts';

/** The job as it was written down: by whoever led it, with that person's care and by the shop's habits. */
export function writeDown(ref: string, setting: Setting, work: Worked, habits: Habits, random: Random): FinishedJob {
  const { planned, hand, mate, startHour } = setting;
  const { bodyStyle, modelYear, seatsRemoved, extractor, dilution, solutionC, finalVacuum } = planned;
  const careful = (share: number) => random.chance(share * (0.4 + 0.6 * hand.care));
  const finished = startHour + work.elapsedHours;
  const reads = extractor !== null && careful(habits.litres);
  const sections = planned.sections.map((section, s) => {
    const { made, dryPasses, clean } = work.sections[s];
    const spots = work.spotRounds[s];
    const { dryPasses: _, ...known } = section;
    return {
      ...known,
      wetPasses: random.chance(0.12 * (1 - hand.care)) ? 2 : made,
      ...(spots > 0 && careful(0.6) && { spotRounds: spots }),
      ...(section.method !== 'spot' && careful(habits.dryPasses) && { dryPasses: Math.min(20, dryPasses) }),
      result: clean || random.chance(0.3 * (1 - hand.care)) ? ('clean' as const) : ('improved' as const),
    };
  });
  const input: FinishedJobInput = {
    ref,
    finishedAt: new Date(Math.round(finished * 60) * 60_000).toISOString(),
    bodyStyle,
    ...(modelYear !== undefined && { modelYear }),
    seatsRemoved,
    labour: minutesOf(setting, work, random),
    extractor,
    ...(dilution !== undefined && { dilution }),
    ...(solutionC !== undefined && { solutionC }),
    ...(reads && tanksOf(work, habits, random)),
    ...((finalVacuum || careful(0.6)) && { finalVacuum: finalVacuum === true }),
    sections: sections.map((section) => (mate ? { ...section, technician: hand.key } : section)),
    drying: {
      ...(planned.drying?.aid !== undefined && { aid: planned.drying.aid }),
      ...(careful(habits.air) && { airC: Math.round(work.airC), rhPercent: Math.round(work.rhPercent) }),
      checks: careful(habits.checked) ? checksOf(finished, work.dryingHours, habits, random) : [],
    },
  };
  return finishedJob.parse(input);
}

/** Read off a scale, in steps; the waste tank foams. */
function tanksOf({ sprayedLitres, recoveredLitres }: Worked, { tankStep }: Habits, random: Random) {
  const read = (litres: number) =>
    Number((tankStep * Math.round((litres * random.spread(0.012)) / tankStep)).toFixed(1));
  const sprayed = read(sprayedLitres);
  return { sprayedLitres: sprayed, recoveredLitres: Math.min(sprayed, read(recoveredLitres)) };
}

/** The careless write half hours, and forget that they sat down to eat. */
function minutesOf({ hand, mate, startHour }: Setting, { hours, elapsedHours }: Worked, random: Random) {
  const step = hand.care > 0.7 ? 5 : hand.care > 0.35 ? 15 : 30;
  const noon = startHour % 24 < 12 && (startHour % 24) + elapsedHours > 13;
  const meal = noon && random.chance(0.25 * (1 - hand.care)) ? 30 : 0;
  const share = mate ? random.between(0.48, 0.62) : 1;
  const written = (minutes: number) => Math.max(step, step * Math.round(minutes / step));
  const own = { technician: hand.key, minutes: written(60 * hours * share + meal) };
  return mate ? [own, { technician: mate.key, minutes: written(60 * hours * (1 - share)) }] : [own];
}

const [opens, closes] = [8, 18];

/** Who looks when: every so often while the shop is open, once when it was promised, or in the morning. */
function checksOf(finished: number, dryAfter: number, { looks }: Habits, random: Random) {
  const open = (hour: number) => hour % 24 >= opens && hour % 24 <= closes;
  const morning = Math.ceil((finished - opens) / 24) * 24 + opens + 0.5 * random.uniform();
  const times: number[] = [];
  const way = random.pick(looks);
  if (way === 'morning') times.push(morning - finished);
  else if (way === 'promised') times.push(random.chance(0.6) && open(finished + 4) ? 4 : morning - finished);
  else {
    const every = random.between(1, 2.5);
    for (let after = every; after < 96; after += every * random.between(0.8, 1.3)) {
      if (open(finished + after)) times.push(after);
      if (after > dryAfter && open(finished + after)) break;
    }
  }
  // The careful go back once to what was found wet.
  if (way !== 'often' && times[0] < dryAfter && random.chance(0.5)) times.push(times[0] + random.between(2, 5));
  const checks = times.map((after) => ({ hours: Math.max(0.25, Math.round(4 * after) / 4), dry: after >= dryAfter }));
  const kept = way === 'dry-alone' ? checks.filter(({ dry }) => dry) : checks;
  return kept.filter(({ hours }, i) => hours !== kept[i + 1]?.hours);
}
