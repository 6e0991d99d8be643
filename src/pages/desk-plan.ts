import type { Machine, Technician } from '../domain/lists.ts';
import type { PlannedJobInput } from '../domain/planned.ts';
import { usualAreas, usualSection } from '../domain/usual-sections.ts';
import { type Area, areas, type BodyStyle } from '../domain/vocabulary.ts';

type PlannedPart = PlannedJobInput['sections'][number];

/** One line of the form: an area that may be cleaned, or a part beside those. */
export interface PlanLine {
  readonly area: Area | undefined;
  readonly cleaned: boolean;
  readonly part: Partial<PlannedPart>;
}

/** What the form begins with: the seats of this body style, moderate soil, extracted, left in. */
export function usualPlan(bodyStyle: BodyStyle): PlannedJobInput {
  return { bodyStyle, sections: usualAreas(bodyStyle).map((area) => usualPart(area, bodyStyle)) };
}

/** Who and what a form offers to be chosen. */
export interface Offered {
  readonly technicians: readonly Technician[];
  readonly machines: readonly Machine[];
}

/**
 * What of a plan the form has fields for: another job like it begins with that, and its first estimate is of that. Who
 * has left since, and what is no longer there, is not planned with again.
 */
export function planForForm(plan: PlannedJobInput, { technicians, machines }: Offered): PlannedJobInput {
  const { bodyStyle, modelYear, seatsRemoved, crew, labourRate, materials } = plan;
  const technician = technicians.find(({ key }) => key === plan.technician)?.key;
  const extractor = machines.find(({ key }) => key === plan.extractor)?.key;
  const { aid, airC, rhPercent } = plan.drying ?? {};
  const drying = { aid, airC, rhPercent };
  const sections = plan.sections.map(({ area, count, fabric, soil, stains, method, brush, surfaceM2 }) => {
    return { area, count, fabric, soil, stains, method, brush, surfaceM2 };
  });
  const job = { modelYear, seatsRemoved, technician, extractor, crew, labourRate, materials };
  return { bodyStyle, ...job, drying, sections };
}

/** A line for every area, those planned ticked; then the parts whose area has a line already. */
export function linesOf({ bodyStyle, sections }: PlannedJobInput): PlanLine[] {
  const own = areas.map((area) => sections.find((part) => part.area === area));
  const lines = areas.map((area, i) => ({
    area,
    cleaned: own[i] !== undefined,
    part: own[i] ?? usualPart(area, bodyStyle),
  }));
  const more = sections.filter((part) => !own.includes(part));
  return [...lines, ...more.map((part) => ({ area: part.area, cleaned: true, part }))];
}

/** A line for a part that nobody has chosen yet. */
export const blankLine: PlanLine = {
  area: undefined,
  cleaned: false,
  part: { fabric: 'flat-woven', soil: 'heavy', method: 'extraction' },
};

function usualPart(area: Area, bodyStyle: BodyStyle): PlannedPart {
  return { ...usualSection(area, bodyStyle), soil: 'moderate' };
}
