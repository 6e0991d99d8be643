import { doubtsOf, type ModelName, mayBeSo } from '../domain/doubts.ts';
import type { FinishedJob } from '../domain/record.ts';
import type { FarOff, LeftOut, Odd } from '../models/rows/model-rows.ts';
import { modelNames } from '../models/shop-fit.ts';

/** A record that the latest fit did not read in full, or that looked odd to it, why, and what to do about it. */
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
  /** Whose figure it is. */
  readonly figure: ModelName;
  /** None where it is read all the same. */
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
  readonly record: FinishedJob;
}

/** By model, as stored with a fit; one made before odd records were told has none. */
type Doubted = Readonly<
  Partial<Record<ModelName, { readonly leftOut: readonly LeftOut[]; readonly odd?: readonly Odd[] | null }>>
>;

/**
 * The doubtful records that are still there, newest first: what the latest fit left out or found odd, with how each stands today.
 * `doubted` is undefined where nothing has been learnt yet.
 */
export function doubtfulReport(doubted: Doubted | undefined, standings: readonly Standing[]): DoubtfulReport {
  if (doubted === undefined) return { answer: notReadYet, records: [] };
  const records = standings.map((standing) => doubtfulRecord(standing, doubtsOfRecord(doubted, standing.ref)));
  return { answer: answer(records), records };
}

/** Refs of all records that any model left out or found odd. */
export function doubtedRefs(doubted: Doubted): readonly string[] {
  return [...new Set(modelNames.flatMap((model) => doubtedBy(doubted, model).map(({ ref }) => ref)))];
}

function doubtedBy(doubted: Doubted, model: ModelName): readonly (LeftOut & { readonly isRead: boolean })[] {
  const { leftOut = [], odd } = doubted[model] ?? {};
  const as = (isRead: boolean) => (one: LeftOut) => ({ ...one, isRead });
  return [...leftOut.map(as(false)), ...(odd ?? []).map(as(true))];
}

/** One doubt may have kept a record out of several models: it is said once. */
function doubtsOfRecord(doubted: Doubted, ref: string): readonly RecordDoubt[] {
  const byReason = new Map<string, RecordDoubt>();
  for (const figure of modelNames)
    for (const { reason, farOff, isRead } of doubtedBy(doubted, figure).filter((one) => one.ref === ref)) {
      const before = byReason.get(reason) ?? { reason, figure, leftOutOf: [], ...farOff };
      byReason.set(reason, isRead ? before : { ...before, leftOutOf: [...before.leftOutOf, figure] });
    }
  return [...byReason.values()];
}

function doubtfulRecord({ ref, finishedAt, ...standing }: Standing, doubts: readonly RecordDoubt[]): DoubtfulRecord {
  const hardly = doubts.filter((one) => canBeSo(one, standing.record));
  const isRead = standing.isConfirmed && hardly.length === doubts.length;
  const state = isRead ? 'confirmed' : standing.isChanged ? 'changed' : 'open';
  const canBeConfirmed = state === 'open' && !standing.isConfirmed && hardly.length > 0;
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

/** Far off, or what hardly is; anything else contradicts itself. */
function canBeSo({ expected, reason }: RecordDoubt, record: FinishedJob): boolean {
  return expected !== undefined || doubtsOf(record).some((own) => own.message === reason && mayBeSo(own));
}

/**
 * What keeps a record from being confirmed: it contradicts itself, and nothing in it is merely hard to believe. `found` is how the latest fit
 * doubted it; what was changed since is judged by the record alone.
 */
export function onlyMendable(record: FinishedJob, found: DoubtfulRecord | undefined): readonly string[] {
  const ownDoubts = doubtsOf(record).filter(({ leftOutOf }) => leftOutOf.length > 0);
  if (found?.doubts.some((one) => canBeSo(one, record)) || ownDoubts.some(mayBeSo)) return [];
  const ofFit = found?.state === 'open' ? found.doubts : [];
  return [...new Set([...ownDoubts.map(({ message }) => message), ...ofFit.map(({ reason }) => reason)])];
}

function wayOut(state: DoubtfulRecord['state'], canBeConfirmed: boolean): string {
  if (state !== 'open') return `It was ${state} since: the next night reads it anew.`;
  return canBeConfirmed ? 'Mend the record, or confirm that it was so.' : 'Mend the record.';
}

const notReadYet =
  'No record is doubtful so far, for none has been read yet: the first night after the first job does, and tells here what it doubts.';

function answer(records: readonly DoubtfulRecord[]): string {
  if (records.length === 0) return 'No record is doubtful: the latest fit read them all, and none looks odd to it.';
  const leftOut = records.filter(({ doubts }) => doubts.some(({ leftOutOf }) => leftOutOf.length > 0)).length;
  const odd = records.length - leftOut;
  const changed = records.filter(({ state }) => state !== 'open').length;
  return [
    leftOut > 0 && `${counted(leftOut, 'was', 'were')} left out of a model by the latest fit.`,
    odd > 0 && `${counted(odd, 'looks', 'look')} odd, and ${odd === 1 ? 'is' : 'are'} read all the same.`,
    changed > 0 && `${changed} of them changed or confirmed since.`,
    leftOut > 0 &&
      'Until it is mended or confirmed, a record that was left out moves no estimate by what is doubtful in it.',
  ]
    .filter(Boolean)
    .join(' ');
}

function counted(n: number, isOne: string, areMore: string): string {
  return n === 1 ? `1 record ${isOne}` : `${n} records ${areMore}`;
}
