/** A finished job as the fields of its form, before a form is sent and when it changes its shape. */
import type { PlannedJobInput } from '../domain/planned.ts';
import type { FinishedJob, Section } from '../domain/record.ts';
import { usualAreas, usualSection } from '../domain/usual-sections.ts';
import type { BodyStyle } from '../domain/vocabulary.ts';
import { zonedMinute } from '../domain/zoned-time.ts';
import type { GivenEstimate } from '../insight/given-estimate.ts';
import { measureOf, type Quantity, type Units } from './measures.ts';

/** A field's full name, with how to read it, and its text: what a browser sends. */
export type FormEntry = readonly [name: string, text: string];

/** A job of which not all is known yet. */
export type JobDraft = Partial<Omit<FinishedJob, 'sections' | 'labour'>> & {
  readonly sections: readonly Partial<Section>[];
  readonly labour?: readonly { readonly technician: string; readonly minutes?: number }[];
};

/** How most parts come out; what is not so is one touch. */
const cleanly = { result: 'clean' } as const;

/** Sections as they mostly are for a body style; soil and passes are left to be judged. */
export function usualDraft(bodyStyle: BodyStyle): JobDraft {
  return {
    bodyStyle,
    sections: usualAreas(bodyStyle).map((area) => ({ ...usualSection(area, bodyStyle), ...cleanly })),
  };
}

/** What of a former job the next one of its kind mostly shares: the work planned, not what it took. */
export function draftLike({
  bodyStyle,
  seatsRemoved,
  extractor,
  dilution,
  solutionC,
  sections,
}: FinishedJob): JobDraft {
  return {
    bodyStyle,
    seatsRemoved,
    extractor,
    ...(dilution !== undefined && { dilution }),
    ...(solutionC !== undefined && { solutionC }),
    sections: sections.map(({ area, count, fabric, method, brush }) => ({
      area,
      count,
      fabric,
      method,
      ...(brush && { brush }),
      ...cleanly,
    })),
  };
}

/** The planned job, and what was quoted for it: passes, minutes and litres are what the work now says. */
export function draftOfPlan(plan: PlannedJobInput, { id, quote }: Pick<GivenEstimate, 'id' | 'quote'>): JobDraft {
  const { bodyStyle, modelYear, seatsRemoved, extractor, dilution, solutionC, sections, drying } = plan;
  return {
    bodyStyle,
    ...(modelYear !== undefined && { modelYear }),
    ...(seatsRemoved !== undefined && { seatsRemoved }),
    ...(extractor !== undefined && { extractor }),
    ...(dilution !== undefined && { dilution }),
    ...(solutionC !== undefined && { solutionC }),
    ...(drying && { drying: { ...drying, checks: [] } }),
    ...(plan.technician !== undefined && { labour: [{ technician: plan.technician }] }),
    sections: sections.map(({ dryPasses: _, ...section }) => ({ ...section, ...cleanly })),
    quoted: { hours: quote.hours, price: quote.price, estimate: id },
  };
}

/** The fields of a draft or of a whole record, quantities in the shop's units, times by the shop's clock. */
export function entriesOf(job: JobDraft, units: Units, timeZone: string): FormEntry[] {
  const litres = inUnits('litres', units);
  const celsius = inUnits('celsius', units);
  const { drying, quoted, outcome } = job;
  return present([
    ['ref', job.ref],
    ['finishedAt', job.finishedAt && zonedMinute(new Date(job.finishedAt), timeZone).slice(0, 16)],
    ['bodyStyle', job.bodyStyle],
    ['modelYear:number', job.modelYear],
    ['seatsRemoved:flag', job.seatsRemoved],
    ...(job.labour ?? []).flatMap(({ technician, minutes }, i): Unset[] => [
      [`labour.${i}.technician`, technician],
      [`labour.${i}.minutes:number`, minutes],
    ]),
    ['extractor', job.extractor ?? undefined],
    ['dilution:number', job.dilution],
    ['solutionC:celsius', celsius(job.solutionC)],
    ['sprayedLitres:litres', litres(job.sprayedLitres)],
    ['recoveredLitres:litres', litres(job.recoveredLitres)],
    ['finalVacuum:flag', job.finalVacuum],
    ...job.sections.flatMap((section, i) => sectionEntries(section, i, units)),
    ['drying.aid', drying?.aid],
    ['drying.airC:celsius', celsius(drying?.airC)],
    ['drying.rhPercent:number', drying?.rhPercent],
    ['drying.airSpeedMs:airSpeedMs', inUnits('airSpeedMs', units)(drying?.airSpeedMs)],
    ...(drying?.checks ?? []).flatMap(({ hours, dry }, i): Unset[] => [
      [`drying.checks.${i}.hours:number`, hours],
      [`drying.checks.${i}.dry:flag`, dry ? 'yes' : 'no'],
    ]),
    ['quoted.hours:number', quoted?.hours],
    ['quoted.price:number', quoted?.price],
    ['quoted.estimate', quoted?.estimate],
    ['outcome.handover', outcome?.handover],
    ['outcome.comeback', outcome?.comeback],
    ['outcome.damage', outcome?.damage],
    ['note', job.note],
  ]);
}

/** The fields of one section at its place. */
export function sectionEntries(section: Partial<Section>, i: number, units: Units): Unset[] {
  const at = (field: string) => `sections.${i}.${field}`;
  const litres = inUnits('litres', units);
  return [
    [at('area'), section.area],
    [at('count:number'), section.count],
    [at('surfaceM2:surfaceM2'), inUnits('surfaceM2', units)(section.surfaceM2)],
    [at('fabric'), section.fabric],
    [at('soil'), section.soil],
    ...(section.stains ?? []).map((stain): Unset => [at('stains:list'), stain]),
    [at('method'), section.method],
    [at('brush'), section.brush],
    [at('wetPasses:number'), section.wetPasses],
    [at('spotRounds:number'), section.spotRounds],
    [at('dryPasses:number'), section.dryPasses],
    [at('sprayedLitres:litres'), litres(section.sprayedLitres)],
    [at('recoveredLitres:litres'), litres(section.recoveredLitres)],
    [at('technician'), section.technician],
    [at('result'), section.result],
  ];
}

/** A stored quantity as it is typed in these units, without the tail that their factors leave. */
const inUnits = (kind: Quantity, units: Units) => (value: number | undefined) =>
  value === undefined ? undefined : Number(measureOf(kind, units).fromSi(value).toPrecision(10));

type Unset = readonly [name: string, value: string | number | boolean | undefined];

/** Those that have a value, as text. */
export function present(fields: readonly Unset[]): FormEntry[] {
  return fields.flatMap(([name, value]) => {
    if (value === undefined || value === false) return [];
    return [[name, value === true ? 'yes' : String(value)] as const];
  });
}

/** How many entries a list of the form has: one more than its highest place, of those that a form is read by. */
export function lengthOf(entries: readonly FormEntry[], list: string): number {
  const places = entries.flatMap(([name]) => {
    const [first, place] = name.split(/[.:]/);
    return first === list && /^\d{1,2}$/.test(place ?? '') ? [Number(place)] : [];
  });
  return Math.max(0, ...places.map((place) => place + 1));
}

/** The places of a list that the entries name, in order. */
export function placesOf(entries: readonly FormEntry[], list: string): number[] {
  const places = entries.flatMap(([name]) => {
    const place = name.startsWith(`${list}.`) ? /^\d+/.exec(name.slice(list.length + 1))?.[0] : undefined;
    return place === undefined ? [] : [Number(place)];
  });
  return [...new Set(places)].sort((a, b) => a - b);
}

/** Without the entries of a list at places that are empty, or meant to be; those after them move up. */
export function closedUp(
  entries: readonly FormEntry[],
  list: string,
  isEmpty: (place: number) => boolean,
): FormEntry[] {
  const kept = placesOf(entries, list).filter((place) => !isEmpty(place));
  return entries.flatMap(([name, text]): FormEntry[] => {
    const [place, ...rest] = name.startsWith(`${list}.`) ? name.slice(list.length + 1).split('.') : [];
    if (place === undefined) return [[name, text]];
    const now = kept.indexOf(Number(place));
    return now < 0 ? [] : [[[list, now, ...rest].join('.'), text]];
  });
}
