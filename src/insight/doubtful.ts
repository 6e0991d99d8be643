import { doubtsOf, type ModelName } from '../domain/doubts.ts';
import type { FinishedJob } from '../domain/record.ts';
import type { FarOff, LeftOut } from '../models/rows/model-rows.ts';
import { modelNames } from '../models/shop-fit.ts';

/** A record that the latest fit did not read in full, why, and what to do about it. */
export interface DoubtfulRecord {
  readonly ref: string;
  readonly finishedAt: string;
  readonly doubts: readonly RecordDoubt[];
  /** Confirmed or changed since that fit: the next one reads it anew. What contradicts itself stays open, whoever confirmed it. */
  readonly state: 'open' | 'confirmed' | 'changed';
  /** It can be confirmed as it stands; what contradicts itself can only be mended. */
  readonly canBeConfirmed: boolean;
  readonly says: string;
}

export interface RecordDoubt extends Partial<FarOff> {
  readonly reason: string;
  readonly leftOutOf: readonly ModelName[];
}

export interface DoubtfulReport {
  readonly answer: string;
  readonly records: readonly DoubtfulRecord[];
}

interface Standing {
  readonly ref: string;
  readonly finishedAt: Date;
  readonly isConfirmed: boolean;
  readonly isChanged: boolean;
}

type LeftOutByModel = Readonly<Partial<Record<ModelName, readonly LeftOut[]>>>;

/**
 * The doubtful records that are still there, newest first: what the latest fit left out, with how each stands today.
 * `leftOut` is undefined where nothing has been learnt yet.
 */
export function doubtfulReport(leftOut: LeftOutByModel | undefined, standings: readonly Standing[]): DoubtfulReport {
  if (leftOut === undefined) return { answer: notReadYet, records: [] };
  const records = standings.map((standing) => doubtfulRecord(standing, doubtsOfRecord(leftOut, standing.ref)));
  const open = records.filter(({ state }) => state === 'open').length;
  return { answer: answer(records.length, open), records };
}

/** Refs of all records that any model left out. */
export function leftOutRefs(leftOut: LeftOutByModel): readonly string[] {
  return [...new Set(modelNames.flatMap((model) => (leftOut[model] ?? []).map(({ ref }) => ref)))];
}

/** One doubt may have kept a record out of several models: it is said once. */
function doubtsOfRecord(leftOut: LeftOutByModel, ref: string): readonly RecordDoubt[] {
  const byReason = new Map<string, RecordDoubt>();
  for (const model of modelNames)
    for (const { reason, farOff } of (leftOut[model] ?? []).filter((one) => one.ref === ref)) {
      const models = [...(byReason.get(reason)?.leftOutOf ?? []), model];
      byReason.set(reason, { reason, leftOutOf: models, ...farOff });
    }
  return [...byReason.values()];
}

function doubtfulRecord({ ref, finishedAt, ...standing }: Standing, doubts: readonly RecordDoubt[]): DoubtfulRecord {
  const contradicts = doubts.some(({ expected }) => expected === undefined);
  const isRead = standing.isConfirmed && !contradicts;
  const state = isRead ? 'confirmed' : standing.isChanged ? 'changed' : 'open';
  const canBeConfirmed = state === 'open' && !standing.isConfirmed && isOdd(doubts);
  const reasons = doubts.map(({ reason }) => reason.replace(/[^.?!]$/, '$&.')).join(' ');
  return {
    ref,
    finishedAt: finishedAt.toISOString(),
    doubts,
    state,
    canBeConfirmed,
    says: `${ref}: ${reasons} ${wayOut(state, canBeConfirmed)}`,
  };
}

function isOdd(doubts: readonly RecordDoubt[]): boolean {
  return doubts.some(({ expected }) => expected !== undefined);
}

/**
 * What keeps a record from being confirmed: it contradicts itself, and nothing in it is merely odd. `found` is how the latest fit doubted it;
 * what was changed since is judged by the record alone.
 */
export function onlyMendable(record: FinishedJob, found: DoubtfulRecord | undefined): readonly string[] {
  if (found && isOdd(found.doubts)) return [];
  const ownDoubts = doubtsOf(record).filter(({ leftOutOf }) => leftOutOf.length > 0);
  const ofFit = found?.state === 'open' ? found.doubts : [];
  return [...new Set([...ownDoubts.map(({ message }) => message), ...ofFit.map(({ reason }) => reason)])];
}

function wayOut(state: DoubtfulRecord['state'], canBeConfirmed: boolean): string {
  if (state !== 'open') return `It was ${state} since: the next night reads it anew.`;
  return canBeConfirmed ? 'Mend the record, or confirm that it was so.' : 'Mend the record.';
}

const notReadYet =
  'No record is doubtful so far, for none has been read yet: the first night after the first job does, and tells here what it doubts.';

function answer(all: number, open: number): string {
  if (all === 0) return 'No record is doubtful: the latest fit read them all.';
  const records = all === 1 ? '1 record was' : `${all} records were`;
  const rest = all === open ? '' : ` ${all - open} of them changed or confirmed since.`;
  return `${records} left out of a model by the latest fit.${rest} Until it is mended or confirmed, a record moves no estimate by what is doubtful in it.`;
}
