import type { Context } from 'hono';
import { type Doubt, doubtsOf } from '../domain/doubts.ts';
import { type Changed, type ChangeResult, etagOf } from '../store/records.ts';
import type { AppEnv } from './env.ts';
import { refusal } from './problem.ts';
import type { ReceiptBody } from './records-schemas.ts';
import { statusOf } from './status.ts';

export type RecordContext = Context<AppEnv>;

interface Receipt {
  readonly outcome: 'stored' | 'unchanged';
  readonly version?: number;
  readonly digest?: string;
  readonly doubts: readonly Doubt[];
  readonly dryRun?: boolean;
}

/** 201 for what is new, 200 for what was there already or only tried. */
export function receiptAnswer(c: RecordContext, ref: string, receipt: Receipt) {
  const { outcome, version, digest, doubts, dryRun } = receipt;
  if (version !== undefined && digest !== undefined) c.header('ETag', etagOf({ version, digest }));
  if (!dryRun) c.header('Location', addressOf(ref));
  const body: ReceiptBody = {
    ref,
    outcome,
    ...(version === undefined ? {} : { version }),
    doubts,
    ...(dryRun ? { dryRun } : {}),
  };
  return outcome === 'stored' && !dryRun ? c.json(body, 201) : c.json(body, 200);
}

/** The refusal of a change that did not come to pass. */
export function changeRefusal(ref: string, result: Exclude<ChangeResult, Changed>) {
  if (result.outcome === 'missing') return noSuchRecord(ref);
  const detail = `Record ${ref} is not in the state that If-Match names: read it again, its ETag is ${result.etag}`;
  return refusal(statusOf.preconditionFailed, detail, { ETag: result.etag });
}

/** What a change answers that came to pass, or left the record as it was. */
export function changeReceipt(c: RecordContext, { outcome, stored }: Changed): ReceiptBody {
  c.header('ETag', etagOf(stored));
  const { record, version } = stored;
  return {
    ref: record.ref,
    outcome: outcome === 'changed' ? 'stored' : 'unchanged',
    version,
    doubts: doubtsOf(record),
  };
}

export function noSuchRecord(ref: string) {
  return refusal(statusOf.notFound, `This shop has no record ${JSON.stringify(ref)}`);
}

function addressOf(ref: string): string {
  return `/v1/records/${encodeURIComponent(ref)}`;
}
