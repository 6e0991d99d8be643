import type { Fault } from '../domain/faults.ts';
import type { statusOf } from './status.ts';

/** The largest that is taken, in bytes: one record as JSON, one line (or CSV row) of an upload, a whole upload. */
export const limits = { json: 1_000_000, line: 256_000, upload: 200_000_000 } as const;

type CutStatus = (typeof statusOf)['malformed' | 'tooLarge' | 'unsupportedMediaType' | 'invalid'];

/** A body that cannot be read on: the rest of it is not looked at. */
export class UploadCut extends Error {
  readonly status: CutStatus;
  readonly faults: readonly Fault[];

  constructor(status: CutStatus, detail: string, faults: readonly Fault[] = []) {
    super(detail);
    this.status = status;
    this.faults = faults;
  }
}
