import type { Doubt } from '../domain/doubts.ts';
import { type Fault, fault } from '../domain/faults.ts';
import type { Outcome, StagedResult } from '../store/records.ts';

export interface Problem {
  readonly line: number;
  readonly ref?: string;
  readonly errors: readonly Fault[];
}

/** A record that is kept although something in it is hard to believe. */
interface DoubtfulLine {
  readonly line: number;
  readonly ref: string;
  readonly doubts: readonly Doubt[];
}

/** What became of an upload. */
export interface Report {
  readonly accepted: number;
  readonly unchanged: number;
  readonly conflicting: number;
  readonly rejected: number;
  /** Of those that were read without fault, how many are kept but doubtful. */
  readonly doubtful: number;
  /** The first of these, by line; absent where there are none. */
  readonly doubtfulRecords?: readonly DoubtfulLine[];
  readonly problems: readonly Problem[];
  /** Problems beyond those listed. */
  readonly problemsLeftOut?: number;
  readonly dryRun?: true;
}

const mostProblems = 1000;
const mostErrorsEach = 20;

/** Counts an upload as it goes, and keeps the first problems and doubts to tell of. */
export class Tally {
  #doubtful = 0;
  #accepted = 0;
  #unchanged = 0;
  #conflicting = 0;
  #rejected = 0;
  readonly #problems: Problem[] = [];
  readonly #doubted: DoubtfulLine[] = [];

  get accepted(): number {
    return this.#accepted;
  }

  get hasProblems(): boolean {
    return this.#conflicting + this.#rejected > 0;
  }

  /** How many problems may still be listed. */
  get room(): number {
    return mostProblems - this.#problems.length;
  }

  doubt(line: DoubtfulLine): void {
    this.#doubtful += 1;
    if (this.#doubted.length < mostProblems) this.#doubted.push(line);
  }

  reject(line: number, ref: string | undefined, faults: readonly Fault[]): void {
    this.#rejected += 1;
    this.#list({ line, ...(ref === undefined ? {} : { ref }), errors: faults.slice(0, mostErrorsEach) });
  }

  count(kind: Outcome['kind'], { line, ref }: { readonly line: number; readonly ref: string }): void {
    if (kind === 'stored') this.#accepted += 1;
    else if (kind === 'unchanged') this.#unchanged += 1;
    else this.#conflict(line, ref);
  }

  add({ stored, unchanged, conflicting, conflicts }: StagedResult): void {
    this.#accepted += stored;
    this.#unchanged += unchanged;
    for (const { line, ref } of conflicts) this.#conflict(line, ref);
    this.#conflicting += conflicting - conflicts.length;
  }

  /** All or none, and it was none. */
  takeBack(): void {
    this.#accepted = 0;
  }

  report(dryRun = false): Report {
    const leftOut = this.#conflicting + this.#rejected - this.#problems.length;
    return {
      accepted: this.#accepted,
      unchanged: this.#unchanged,
      conflicting: this.#conflicting,
      rejected: this.#rejected,
      doubtful: this.#doubtful,
      ...(this.#doubted.length > 0 ? { doubtfulRecords: this.#doubted } : {}),
      problems: this.#problems.toSorted((a, b) => a.line - b.line),
      ...(leftOut > 0 ? { problemsLeftOut: leftOut } : {}),
      ...(dryRun ? { dryRun } : {}),
    };
  }

  #conflict(line: number, ref: string): void {
    this.#conflicting += 1;
    this.#list({ line, ref, errors: [conflictFault(ref)] });
  }

  #list(problem: Problem): void {
    if (this.room > 0) this.#problems.push(problem);
  }
}

export function conflictFault(ref: string): Fault {
  return fault(['ref'], ref, 'recorded already, with other content; PUT with If-Match replaces it');
}
