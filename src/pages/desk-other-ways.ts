import type { PlannedJobInput } from '../domain/planned.ts';
import { wordsFor } from './words.ts';

type Alternative = NonNullable<PlannedJobInput['alternatives']>[number];

/** The other ways that were asked for on the form, each as an alternative to the plan of so many sections. */
export function otherWays(
  other: Readonly<Record<string, unknown>>,
  plan: Readonly<Record<string, unknown>>,
  nSections: number,
): unknown[] {
  const { spot, seats, extractor, technician, dryingAid } = other;
  const everySpot = Array.from({ length: nSections }, (_, section) => ({ section, method: 'spot' as const }));
  const out = plan.seatsRemoved === true;
  const ways: (Alternative | undefined)[] = [
    spot === true ? { label: 'Spot cleaning only', sections: everySpot } : undefined,
    seats === true ? { label: out ? 'Seats left in' : 'Seats taken out', seatsRemoved: !out } : undefined,
  ];
  // What was chosen from a list is held against that list with the rest of the plan.
  const chosen = [
    extractor === undefined ? undefined : { label: `With ${extractor}`, extractor },
    technician === undefined ? undefined : { label: `By ${technician}`, technician },
    dryingAid === undefined ? undefined : { label: `Dried by ${wordsFor(String(dryingAid))}`, dryingAid },
  ];
  return [...ways, ...chosen].filter((way) => way !== undefined);
}
