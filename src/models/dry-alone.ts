import type { FinishedJob } from '../domain/record.ts';
import { mainTechnician } from './work-section.ts';

/** A time in which hardly any look that found it wet is noted of somebody's jobs; without an end where that goes on. */
export interface DryAlone {
  readonly technician: string;
  readonly from: string;
  readonly until: string | null;
}

/** So many checked jobs, one after the other, tell how looks were noted then. */
const inARow = 10;
/** Where one checked job in five has a look that found it wet, those are noted: without one nobody had looked. */
const notedWet = 0.2;

/**
 * Who notes only the look that found it dry, and when: habits are each person's, and change, as when a shop's old sheets are taken in before
 * it begins to note looks.
 *
 * **Checked** tests/models/dry-alone.test.ts
 */
export function dryAloneTimes(records: readonly FinishedJob[]): readonly DryAlone[] {
  const checked = records.filter(isChecked).toSorted((a, b) => finishedMs(a) - finishedMs(b));
  const people = [...new Set(checked.map(mainTechnician))].toSorted();
  const ofShop = dryAloneOf(checked);
  return people.flatMap((technician) => {
    const own = checked.filter((job) => mainTechnician(job) === technician);
    const ofOwn = own.length < inARow ? new Set<FinishedJob>() : dryAloneOf(own);
    const isAlone = own.map((job) => ofOwn.has(job) || ofShop.has(job));
    return own.flatMap(({ finishedAt }, k): DryAlone[] => {
      if (!isAlone[k] || isAlone[k - 1]) return [];
      const end = isAlone.indexOf(false, k);
      return [{ technician, from: finishedAt, until: end < 0 ? null : own[end].finishedAt }];
    });
  });
}

/** Whether a job is of such a time. */
export function isDryAlone(times: readonly DryAlone[], job: Pick<FinishedJob, 'finishedAt' | 'labour'>): boolean {
  if (times.length === 0) return false;
  const technician = mainTechnician(job);
  const at = finishedMs(job);
  return times.some(
    (time) =>
      time.technician === technician &&
      at >= Date.parse(time.from) &&
      (time.until === null || at < Date.parse(time.until)),
  );
}

export function isChecked({ drying }: Pick<FinishedJob, 'drying'>): boolean {
  return (drying?.checks.length ?? 0) > 0;
}

/** Those of any ten in a row of which it is so; of fewer, all or none. */
function dryAloneOf(jobs: readonly FinishedJob[]): ReadonlySet<FinishedJob> {
  const starts = Array.from({ length: Math.max(1, jobs.length - inARow + 1) }, (_, k) => k);
  const rows = starts.map((from) => jobs.slice(from, from + inARow));
  return new Set(rows.filter(noteDryAlone).flat());
}

/** Whether of these checked jobs hardly one has a wet look noted. */
export function noteDryAlone(checked: readonly FinishedJob[]): boolean {
  return checked.filter(hasWetLook).length < notedWet * checked.length;
}

export function hasWetLook({ drying }: Pick<FinishedJob, 'drying'>): boolean {
  return drying?.checks.some(({ dry }) => !dry) === true;
}

function finishedMs({ finishedAt }: Pick<FinishedJob, 'finishedAt'>): number {
  return Date.parse(finishedAt);
}
