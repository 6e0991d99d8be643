import type { Machine } from '../domain/lists.ts';
import type { FinishedJob } from '../domain/record.ts';
import type { Grade } from '../domain/vocabulary.ts';
import { dryHabits, type Habits, machineShares, type Share, vacuumHabits } from './habits.ts';
import { type Looks, looksByRule } from './looks.ts';
import { type Nights, nightsByRule } from './nights.ts';
import { type ReadingStep, readingSteps } from './reading-steps.ts';
import type { RuleOfThumb } from './rules-of-thumb.ts';
import { type SecondPasses, secondPassesByRule } from './second-pass.ts';
import { spreadByRule } from './section-spread.ts';
import { surfaceRatios } from './surface-ratios.ts';
import { type Tanks, tanksByRule } from './tanks.ts';
import { type UsualAir, usualAir } from './usual-air.ts';
import { type DoneSection, doneSections, type SectionFills } from './work-section.ts';

/** A record with its sections as the models read them. */
export interface DoneJob {
  readonly job: FinishedJob;
  readonly sections: readonly DoneSection[];
  /** The one that is named; where none is, what the shop's jobs are done with, by share. */
  readonly extractors: readonly UsedExtractor[];
  /** Somebody looked at it and says that it was so. */
  readonly isConfirmed?: boolean;
}

/** No key is some ordinary one. */
interface UsedExtractor {
  readonly key: string | null;
  readonly grade: Grade;
  readonly share: number;
}

/** Everything that the models read of one shop, derived once from its records and lists. */
export interface ShopView extends SectionFills {
  readonly jobs: readonly DoneJob[];
  readonly technicians: readonly string[];
  readonly machines: readonly string[];
  readonly rules: readonly RuleOfThumb[];
  readonly dryHabits: Habits;
  readonly machineShares: readonly Share[];
  readonly usualAir: UsualAir;
  readonly readingSteps: readonly ReadingStep[];
  readonly tanks: Tanks;
  readonly sectionSpread: number;
  readonly nights: Nights;
  readonly looks: Looks;
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
      extractors: extractorsOf(job, machines, as.machineShares),
    })),
    technicians: technicians.map(({ key }) => key),
    machines: machines.map(({ key }) => key),
    rules,
    ...as,
  };
}

/** The same where these records stand confirmed. */
export function withConfirmed(shop: ShopView, confirmed: readonly string[]): ShopView {
  const refs = new Set(confirmed);
  return { ...shop, jobs: shop.jobs.map((done) => (refs.has(done.job.ref) ? { ...done, isConfirmed: true } : done)) };
}

/** Read as ordinary alone, work with a better one would pass for the shop's, and that one's own effect come out too small. */
export function extractorsOf(
  { extractor }: Pick<FinishedJob, 'extractor'>,
  machines: readonly Machine[],
  usual: readonly Share[],
): readonly UsedExtractor[] {
  if (extractor === null && usual.length === 0) return [{ key: null, grade: 'standard', share: 1 }];
  const used = extractor === null ? usual : [{ key: extractor, share: 1 }];
  return used.map(({ key, share }) => ({ key, grade: gradeOf(machines, key), share }));
}

/** What a fit puts in where a record does not say: a record of after it, or a few of them, are then read as those it was made from. */
export function readAs(fit: ReadAs): ReadAs {
  const { surfaceRatios, vacuumHabits, dryHabits, machineShares, usualAir } = fit;
  const { readingSteps, tanks, sectionSpread, nights, looks, secondPasses } = fit;
  const written = { surfaceRatios, vacuumHabits, dryHabits, machineShares, usualAir };
  return { ...written, readingSteps, tanks, sectionSpread, nights, looks, secondPasses };
}

type ReadAs = Pick<
  ShopView,
  | 'surfaceRatios'
  | 'vacuumHabits'
  | 'dryHabits'
  | 'machineShares'
  | 'usualAir'
  | 'readingSteps'
  | 'tanks'
  | 'sectionSpread'
  | 'nights'
  | 'looks'
  | 'secondPasses'
>;

/** The records' own; of the tanks' errors, the sections' spread, the nights, the looks and second passes what the rules say, until the models tell more. */
export function asTheyAre(
  records: readonly FinishedJob[],
  rules: readonly RuleOfThumb[],
  timeZone = 'Etc/UTC',
  now?: Date,
): ReadAs {
  return {
    surfaceRatios: surfaceRatios(records),
    vacuumHabits: vacuumHabits(records),
    dryHabits: dryHabits(records),
    machineShares: machineShares(records, now),
    usualAir: usualAir(records),
    readingSteps: readingSteps(records),
    tanks: tanksByRule,
    sectionSpread: spreadByRule,
    nights: nightsByRule(rules, records, timeZone),
    looks: looksByRule,
    secondPasses: secondPassesByRule(rules),
  };
}

/** Grade of an extractor by its key; one that is not said or not listed is taken as ordinary. */
export function gradeOf(machines: readonly Machine[], key: string | null | undefined): Grade {
  return machines.find((machine) => machine.key === key)?.grade ?? 'standard';
}
