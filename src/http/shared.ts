import type { EstimateMaker } from './estimate-maker.ts';
import type { FitRuns } from './fit-runs.ts';
import type { KeyVerifier } from './key-verifier.ts';
import type { ReportReaders } from './report-readers.ts';

/** What the interface for programs and the pages for people share: each keeps what it has read or computed. */
export interface Shared {
  readonly verifier: KeyVerifier;
  readonly estimates: EstimateMaker;
  readonly reports: ReportReaders;
  readonly runs: FitRuns;
}
