import { ofTechnician } from './by-technician.ts';
import { pseudoRecords, ruleOf } from './rule-table.ts';
import type { RuleOfThumb } from './rules-of-thumb.ts';
import type { WorkSection } from './work-section.ts';

/*
 * Some people go over a section a second time whether or not the first pass did it, to be safe. Of them two passes tell only that no more were
 * needed, and what is made is more than what is needed. Of everybody else all passes count as needed, a second one to be safe now and then
 * among them; so they do in the rules of thumb, which speak of passes made.
 */

/** Light soil has a habit of its own: who always makes two passes may make one there. */
export type SoilClass = 'light' | 'soiled';

export interface SecondPassHabit {
  /** Of a second pass after a first that did it. */
  readonly chance: number;
  /** How likely it is that there is such a habit at all. */
  readonly certainty: number;
  /** Sections that tell. */
  readonly sections: number;
}

/** What is believed of everybody's second passes. */
export interface SecondPasses {
  /** How many people have the habit at a class of soil and how many have not, pseudo-people of the rule among them. */
  readonly people: { readonly have: number; readonly haveNot: number };
  /** The chance of a second pass to be safe by somebody of whom nothing is known. */
  readonly anyone: Readonly<Record<SoilClass, number>>;
  readonly byTechnician: Readonly<Record<string, Readonly<Partial<Record<SoilClass, SecondPassHabit>>>>>;
}

type Soiled = Pick<WorkSection, 'method' | 'soil'>;

/** A habit as likely as this is reckoned with. */
const likely = 0.5;

/** By the rule of thumb alone: nobody is known to have the habit. */
export function secondPassesByRule(rules: readonly RuleOfThumb[]): SecondPasses {
  const rule = ruleOf(rules, 'passes', 'second');
  const weight = pseudoRecords(rule);
  const people = { have: weight * rule.mean, haveNot: weight * (1 - rule.mean) };
  return { people, anyone: { light: 0, soiled: 0 }, byTechnician: {} };
}

/** The chance that somebody makes a second pass here although the first did it; rounds by hand are none. */
export function secondPassChance(
  { anyone, byTechnician }: Pick<SecondPasses, 'anyone' | 'byTechnician'>,
  section: Soiled,
  technician: string | undefined,
): number {
  if (section.method === 'spot') return 0;
  const soil = soilClass(section);
  const known = ofTechnician(byTechnician, technician)?.[soil];
  if (known === undefined) return anyone[soil];
  return isHabit(known) ? known.chance : 0;
}

/** Whether one or two passes say “two at the most” of a section: that holds however often somebody follows the habit. */
export function saysTwoAtMost(
  { byTechnician }: SecondPasses,
  section: Soiled & { readonly technician: string },
): boolean {
  if (section.method === 'spot') return false;
  const known = ofTechnician(byTechnician, section.technician)?.[soilClass(section)];
  return known !== undefined && isHabit(known);
}

export function isHabit({ certainty }: SecondPassHabit): boolean {
  return certainty >= likely;
}

export function soilClass({ soil }: Pick<WorkSection, 'soil'>): SoilClass {
  return soil === 'light' ? 'light' : 'soiled';
}
