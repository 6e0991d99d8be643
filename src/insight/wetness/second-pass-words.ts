import type { Technician } from '../../domain/lists.ts';
import { ofTechnician } from '../../models/by-technician.ts';
import type { SecondPassHabit } from '../../models/second-pass.ts';
import type { ShopFit } from '../../models/shop-fit.ts';

/** Told of somebody only where it is as good as certain, from enough work: reckoned with it is sooner. */
const sure = 0.95;
const fewestSections = 20;

/** The habit of a second pass to be safe on work of more than light soil; null where it is not beyond doubt. */
export function provenSecondPass({ secondPasses }: ShopFit, technician: string): SecondPassHabit | null {
  const habit = ofTechnician(secondPasses.byTechnician, technician)?.soiled;
  return habit !== undefined && habit.certainty >= sure && habit.sections >= fewestSections ? habit : null;
}

/** Who makes a second pass although the first did it, in words for the owner. */
export function secondPassWords(fit: ShopFit, here: readonly Technician[]): string {
  const found = here.flatMap(({ key, name }) => {
    const habit = provenSecondPass(fit, key);
    return habit === null ? [] : [habitWords(name, habit)];
  });
  if (found.length === 0) return 'Nobody who is here is known to make a second pass where the first had done it.';
  return `${found.join(' ')} Each such pass puts water in and takes its time: look first, and go over it again where it needs it.`;
}

function habitWords(name: string, { chance, sections }: SecondPassHabit): string {
  const inTen = Math.round(10 * chance);
  const often = inTen >= 10 ? 'nearly every section' : `about ${inTen} of 10 sections`;
  return `${name} makes a second pass over ${often} that the first has probably done, by the passes of ${sections} extracted sections of more than light soil against everybody’s.`;
}
