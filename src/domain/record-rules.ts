import { z } from 'zod';
import { type Doubt, doubtsOf } from './doubts.ts';
import { checkContradictions, sortedChecks } from './drying-checks.ts';
import { type Fault, fault, faultSaying, faultsOf, type Path, withinReason } from './faults.ts';
import { type DryingCheck, type FinishedJob, finishedJob } from './record.ts';
import { nearest } from './suggestion.ts';

/** What a record is judged against, beside the record itself. */
export interface RecordContext {
  readonly now: Date;
  readonly technicians: ReadonlySet<string>;
  readonly machines: ReadonlySet<string>;
  /** An import that creates what its records name: no key is unknown. */
  readonly createMissing?: boolean;
}

type CheckedRecord =
  | { readonly ok: true; readonly record: FinishedJob; readonly doubts: readonly Doubt[] }
  | { readonly ok: false; readonly faults: readonly Fault[] };

/** Reads one finished job: the record in its stored form with what is doubtful about it, or all that is wrong with it. */
export function checkRecord(input: unknown, context: RecordContext): CheckedRecord {
  const tooLong = absurdLists(input);
  if (tooLong.length > 0) return { ok: false, faults: tooLong };
  const parsed = finishedJob.safeParse(input);
  if (!parsed.success) return { ok: false, faults: allFaults(parsed.error, input, context) };
  const faults = ruleFaults(parsed.data, context);
  if (faults.length > 0) return { ok: false, faults: withinReason(faults) };
  const record = settled(parsed.data);
  return { ok: true, record, doubts: doubtsOf(record) };
}

/** Every technician and machine that a record names, each once. */
export function keysNamed(record: FinishedJob): { technicians: string[]; machines: string[] } {
  const technicians = new Set(record.labour.map((share) => share.technician));
  for (const { technician } of record.sections) if (technician !== undefined) technicians.add(technician);
  return { technicians: [...technicians], machines: record.extractor === null ? [] : [record.extractor] };
}

/** Phones' clocks run ahead of ours by a little. */
const clockSkewMs = 5 * 60_000;
const hourMs = 3_600_000;
/** People write whole hours, and round them up. */
const roundedUpHours = 1;
const mostLabourMinutes = 72 * 60;
/** Sums of decimal litres, in litres: far below any reading, far above rounding. */
const roundingLitres = 1e-6;
/** Lists this long are no slip: they are refused before each entry is looked at. */
const absurdLength = 1000;

const readable = <S extends z.ZodType>(schema: S) => schema.optional().catch(undefined);
const { shape } = finishedJob;
const shareShape = shape.labour.element.shape;
const sectionShape = shape.sections.element.shape;
const checkShape = shape.drying.unwrap().shape.checks.unwrap().element;

/** The parts of a record that the rules look at, each where it can be read: rules speak also when the shape is wrong. */
export const readableParts = z.object({
  finishedAt: readable(shape.finishedAt),
  modelYear: readable(shape.modelYear),
  labour: readable(
    z.array(readable(z.object({ technician: readable(shareShape.technician), minutes: readable(shareShape.minutes) }))),
  ),
  extractor: readable(shape.extractor),
  sprayedLitres: readable(shape.sprayedLitres),
  recoveredLitres: readable(shape.recoveredLitres),
  sections: readable(
    z.array(
      readable(
        z.object({
          method: readable(sectionShape.method),
          spotRounds: readable(sectionShape.spotRounds),
          sprayedLitres: readable(sectionShape.sprayedLitres),
          recoveredLitres: readable(sectionShape.recoveredLitres),
          technician: readable(sectionShape.technician),
        }),
      ),
    ),
  ),
  drying: readable(z.object({ checks: readable(z.array(readable(checkShape))) })),
});
type ReadableParts = z.output<typeof readableParts>;

function allFaults(error: z.ZodError, input: unknown, context: RecordContext): Fault[] {
  const ofShape = faultsOf(error, input, finishedJob);
  const parts = readableParts.safeParse(input);
  if (!parts.success) return ofShape;
  const seen = new Set(ofShape.map(({ pointer }) => pointer));
  const ofRules = ruleFaults(parts.data, context).filter(({ pointer }) => !seen.has(pointer));
  return withinReason([...ofShape, ...ofRules]);
}

function ruleFaults(parts: ReadableParts, context: RecordContext): Fault[] {
  return [
    ...calendarFaults(parts, context.now),
    ...labourFaults(parts),
    ...(context.createMissing ? [] : keyFaults(parts, context)),
    ...sectionFaults(parts),
    ...litreFaults(parts),
    ...checkContradictions(parts.drying?.checks ?? []),
    ...(parts.finishedAt === undefined ? [] : checksAhead(parts.drying?.checks ?? [], parts.finishedAt, context.now)),
  ];
}

export function calendarFaults({ finishedAt, modelYear }: ReadableParts, now: Date): Fault[] {
  const faults: Fault[] = [];
  if (finishedAt !== undefined && Date.parse(finishedAt) > now.getTime() + clockSkewMs)
    faults.push(fault(['finishedAt'], finishedAt, `not in the future; here it is ${now.toISOString()}`));
  if (finishedAt !== undefined && finishedAt < '2000')
    faults.push(fault(['finishedAt'], finishedAt, 'not before the year 2000'));
  const latest = now.getUTCFullYear() + 2;
  if (modelYear !== undefined && modelYear > latest)
    faults.push(fault(['modelYear'], modelYear, `a whole number from 1950 to ${latest} (next year + 1)`));
  return faults;
}

/** A check was made, not foretold: its hours have passed since the work ended. `at`: where each stands in what came. */
export function checksAhead(
  checks: readonly (DryingCheck | undefined)[],
  finishedAt: string,
  now: Date,
  at: (index: number) => Path = (index) => ['drying', 'checks', index],
): Fault[] {
  const passed = (now.getTime() - Date.parse(finishedAt)) / hourMs;
  if (passed < -clockSkewMs / hourMs) return []; // it is finishedAt that is wrong
  const most = Math.floor(100 * (passed + roundedUpHours)) / 100;
  return checks.flatMap((check, i) => {
    if (!check || check.hours <= most) return [];
    const rule = `not in the future; at most ${most}, as the work ended ${Math.max(0, passed).toFixed(2)} h ago`;
    return [fault([...at(i), 'hours'], check.hours, rule)];
  });
}

function labourFaults({ labour }: ReadableParts): Fault[] {
  if (!labour || labour.length === 0) return [];
  const faults: Fault[] = [];
  const first = new Map<string, number>();
  for (const [i, share] of labour.entries()) {
    const technician = share?.technician;
    if (technician === undefined) continue;
    const before = first.get(technician);
    if (before === undefined) first.set(technician, i);
    else
      faults.push(fault(at('labour', i, 'technician'), technician, `each technician once; labour[${before}] has it`));
  }
  if (labour.some((share) => share?.minutes === undefined)) return faults;
  const total = labour.reduce((sum, share) => sum + (share?.minutes ?? 0), 0);
  if (total <= 0 || total > mostLabourMinutes) {
    const rule = `above 0 and at most ${mostLabourMinutes} (72 h)`;
    faults.push(faultSaying(['labour'], `labour is ${total} minutes in all: ${rule}`));
  }
  return faults;
}

export function keyFaults({ labour, extractor, sections }: ReadableParts, context: RecordContext): Fault[] {
  const { technicians, machines } = context;
  const faults: Fault[] = [];
  labour?.forEach((share, i) => {
    const key = share?.technician;
    if (key !== undefined && !technicians.has(key))
      faults.push(unknownKey(at('labour', i, 'technician'), key, 'technicians', technicians));
  });
  sections?.forEach((section, i) => {
    const key = section?.technician;
    if (key !== undefined && !technicians.has(key))
      faults.push(unknownKey(at('sections', i, 'technician'), key, 'technicians', technicians));
  });
  if (typeof extractor === 'string' && !machines.has(extractor))
    faults.push(unknownKey(['extractor'], extractor, 'machines', machines));
  return faults;
}

export function unknownKey(
  path: Path,
  key: string,
  list: 'technicians' | 'machines',
  known: ReadonlySet<string>,
): Fault {
  const meant = nearest(key, known);
  const way = meant === undefined ? `PUT /v1/${list} adds it` : `did you mean ${meant}?`;
  return fault(path, key, `a key on the shop's list of ${list}; ${way}`);
}

function sectionFaults({ sections }: ReadableParts): Fault[] {
  const faults: Fault[] = [];
  sections?.forEach((section, i) => {
    if (section?.spotRounds === undefined || section.method === undefined) return;
    if (section.method !== 'spot-then-extraction') {
      const way = section.method === 'spot' ? '; rounds of spot work are its wetPasses' : '';
      const rule = `only with method spot-then-extraction, and this one is ${section.method}${way}`;
      faults.push(fault(at('sections', i, 'spotRounds'), section.spotRounds, rule));
    }
  });
  return faults;
}

/** A job's tanks hold at least what its extracted sections took and gave. */
function litreFaults(parts: ReadableParts): Fault[] {
  return (['sprayedLitres', 'recoveredLitres'] as const).flatMap((field) => {
    const total = parts[field];
    if (total === undefined) return [];
    const sum = (parts.sections ?? []).reduce(
      (litres, section) => litres + (section?.method === 'spot' ? 0 : (section?.[field] ?? 0)),
      0,
    );
    if (total >= sum - roundingLitres) return [];
    return [fault([field], total, `not less than the ${Number(sum.toFixed(6))} of the extracted sections together`)];
  });
}

/** One form for one content: checks by hour, stains once, and no object or note that says nothing. */
function settled(record: FinishedJob): FinishedJob {
  const { drying, quoted, outcome, note } = record;
  for (const section of record.sections) if (section.stains.length > 1) section.stains = [...new Set(section.stains)];
  if (drying && drying.checks.length > 1) drying.checks = sortedChecks(drying.checks);
  if (drying && Object.keys(drying).length === 1 && drying.checks.length === 0) delete record.drying;
  if (quoted && Object.keys(quoted).length === 0) delete record.quoted;
  if (outcome && Object.keys(outcome).length === 0) delete record.outcome;
  if (note === '') delete record.note;
  return record;
}

function absurdLists(input: unknown): Fault[] {
  if (typeof input !== 'object' || input === null) return [];
  return (['labour', 'sections'] as const).flatMap((field) => {
    const list: unknown = Reflect.get(input, field);
    if (!Array.isArray(list) || list.length <= absurdLength) return [];
    return [fault([field], list, field === 'labour' ? 'a list of 1 to 20' : 'a list of 1 to 40')];
  });
}

function at(list: string, index: number, field: string): Path {
  return [list, index, field];
}
