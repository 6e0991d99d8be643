import { type Fault, type Reading, readBy, withinReason } from './faults.ts';
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
  const { technician, ...read } = parsed.data;
  const parts = { ...read, finishedAt: undefined, labour: undefined };
  const isUnknown = technician !== undefined && !context.technicians.has(technician);
  return [
    ...calendarFaults(parts, context.now),
    ...(isUnknown ? [unknownKey(['technician'], technician, 'technicians', context.technicians)] : []),
    ...keyFaults(parts, context),
  ];
}

const plannedParts = readableParts.extend({ technician: listKey.optional().catch(undefined) });
