/**
 * Months that were not scored before share a night's time, the latest first; the others follow in the nights to come. A month costs the jobs
 * known at its start beyond these few, which cost next to nothing. Two months are always done, so that a shop of any size gets on.
 */
const mostRead = 3000;
const readForNothing = 400;
const leastMonths = 2;

/** The latest of the months still to be scored whose reading, in sum, is within what a night may read. */
export function latestWithin(
  months: readonly string[],
  isKept: (month: string) => boolean,
  jobsKnown: (month: string) => number,
): readonly string[] {
  const due: string[] = [];
  let read = 0;
  for (const month of [...months].reverse()) {
    if (isKept(month)) continue;
    read += Math.max(0, jobsKnown(month) - readForNothing);
    if (due.length >= leastMonths && read > mostRead) break;
    due.push(month);
  }
  return due;
}
