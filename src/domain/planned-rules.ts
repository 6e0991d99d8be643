import { z } from 'zod';
import { type Fault, fault, type Reading, readBy, withinReason } from './faults.ts';
import { type PlannedJob, plannedJob } from './planned.ts';
import { listKey } from './record.ts';
import { calendarFaults, keyFaults, type RecordContext, readableParts, unknownKey } from './record-rules.ts';

/** Reads a planned job: what is asked for with its defaults, or all that is wrong with it. */
export function checkPlanned(input: unknown, context: RecordContext): Reading<PlannedJob> {
  const reading = readBy(plannedJob, input);
  const ofShape = reading.ok ? [] : reading.faults;
  const seen = new Set(ofShape.map(({ pointer }) => pointer));
  const ofRules = ruleFaults(input, context).filter(({ pointer }) => !seen.has(pointer));
  const faults = [...ofShape, ...ofRules];
  return reading.ok && faults.length === 0 ? reading : { ok: false, faults: withinReason(faults) };
}

/** The rules of a finished job that hold before the work too, for what can be read of it. */
function ruleFaults(input: unknown, context: RecordContext): Fault[] {
  const parsed = plannedParts.safeParse(input);
  if (!parsed.success) return [];
  const { technician, alternatives, ...read } = parsed.data;
  const parts = { ...read, finishedAt: undefined, labour: undefined };
  const isUnknown = technician !== undefined && !context.technicians.has(technician);
  return [
    ...calendarFaults(parts, context.now),
    ...(isUnknown ? [unknownKey(['technician'], technician, 'technicians', context.technicians)] : []),
    ...keyFaults(parts, context),
    ...(alternatives ?? []).flatMap((other, i) => alternativeFaults(other, i, parts.sections?.length, context)),
  ];
}

/** An alternative names people, machines and sections of the plan. */
function alternativeFaults(
  other: AlternativeParts | undefined,
  i: number,
  nSections: number | undefined,
  { technicians, machines }: RecordContext,
): Fault[] {
  if (other === undefined) return [];
  const { technician, extractor, sections } = other;
  const faults: Fault[] = [];
  if (technician !== undefined && !technicians.has(technician))
    faults.push(unknownKey(['alternatives', i, 'technician'], technician, 'technicians', technicians));
  if (extractor !== undefined && !machines.has(extractor))
    faults.push(unknownKey(['alternatives', i, 'extractor'], extractor, 'machines', machines));
  sections?.forEach((change, s) => {
    if (nSections === undefined || change?.section === undefined || change.section < nSections) return;
    faults.push(
      fault(
        ['alternatives', i, 'sections', s, 'section'],
        change.section,
        `a place in sections, 0 to ${nSections - 1}`,
      ),
    );
  });
  return faults;
}

const key = listKey.optional().catch(undefined);
const alternativeParts = z
  .object({
    technician: key,
    extractor: key,
    sections: z
      .array(
        z
          .object({ section: z.number().optional().catch(undefined) })
          .optional()
          .catch(undefined),
      )
      .optional()
      .catch(undefined),
  })
  .optional()
  .catch(undefined);
type AlternativeParts = NonNullable<z.output<typeof alternativeParts>>;

const plannedParts = readableParts.extend({
  technician: key,
  alternatives: z.array(alternativeParts).optional().catch(undefined),
});
