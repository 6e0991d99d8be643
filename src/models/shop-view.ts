import type { Machine } from '../domain/lists.ts';
import type { FinishedJob } from '../domain/record.ts';
import type { Grade } from '../domain/vocabulary.ts';
import { dryHabits, type Habits, vacuumHabits } from './habits.ts';
import { type Nights, nightsByRule } from './nights.ts';
import { type ReadingStep, readingSteps } from './reading-steps.ts';
import type { RuleOfThumb } from './rules-of-thumb.ts';
import { type SecondPasses, secondPassesByRule } from './second-pass.ts';
import { surfaceRatios } from './surface-ratios.ts';
import { type Tanks, tanksByRule } from './tanks.ts';
import { type UsualAir, usualAir } from './usual-air.ts';
import { type DoneSection, doneSections, type SectionFills } from './work-section.ts';

/** A record with its sections as the models read them. */
export interface DoneJob {
  readonly job: FinishedJob;
  readonly sections: readonly DoneSection[];
  readonly grade: Grade;
}

/** Everything that the models read of one shop, derived once from its records and lists. */
export interface ShopView extends SectionFills {
  readonly jobs: readonly DoneJob[];
  readonly technicians: readonly string[];
  readonly machines: readonly string[];
  readonly rules: readonly RuleOfThumb[];
  readonly dryHabits: Habits;
  readonly usualAir: UsualAir;
  readonly readingSteps: readonly ReadingStep[];
  readonly tanks: Tanks;
  readonly nights: Nights;
  readonly secondPasses: SecondPasses;
}

/** @param as what stands in where a record does not say: the records' own, or what a fit was made with */
export function shopView(
  records: readonly FinishedJob[],
  technicians: readonly { readonly key: string }[],
  machines: readonly Machine[],
  rules: readonly RuleOfThumb[],
  as: ReadAs = asTheyAre(records, rules),
): ShopView {
  return {
    jobs: records.map((job) => ({
      job,
      sections: doneSections(job, as),
      grade: gradeOf(machines, job.extractor),
    })),
    technicians: technicians.map(({ key }) => key),
    machines: machines.map(({ key }) => key),
    rules,
    ...as,
  };
}

/** What a fit puts in where a record does not say: a record of after it, or a few of them, are then read as those it was made from. */
export function readAs(fit: ReadAs): ReadAs {
  const { surfaceRatios, vacuumHabits, dryHabits, usualAir, readingSteps, tanks, nights, secondPasses } = fit;
  return { surfaceRatios, vacuumHabits, dryHabits, usualAir, readingSteps, tanks, nights, secondPasses };
}

type ReadAs = Pick<
  ShopView,
  'surfaceRatios' | 'vacuumHabits' | 'dryHabits' | 'usualAir' | 'readingSteps' | 'tanks' | 'nights' | 'secondPasses'
>;

/** The records' own; of the tanks' errors, the nights and second passes what the rules say, until the models tell more. */
export function asTheyAre(
  records: readonly FinishedJob[],
  rules: readonly RuleOfThumb[],
  timeZone = 'Etc/UTC',
): ReadAs {
  return {
    surfaceRatios: surfaceRatios(records),
    vacuumHabits: vacuumHabits(records),
    dryHabits: dryHabits(records),
    usualAir: usualAir(records),
    readingSteps: readingSteps(records),
    tanks: tanksByRule,
    nights: nightsByRule(rules, records, timeZone),
    secondPasses: secondPassesByRule(rules),
  };
}

/** Grade of an extractor by its key; one that is not said or not listed is taken as ordinary. */
export function gradeOf(machines: readonly Machine[], key: string | null | undefined): Grade {
  return machines.find((machine) => machine.key === key)?.grade ?? 'standard';
}
