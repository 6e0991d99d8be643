/**
 * Months that were not scored before share a night's time, in order of time, for what a month shows bears on the forecasts of those after it;
 * what is left follows in the nights to come. A month costs the jobs known at its start beyond these few, which cost next to nothing, and
 * tonight's fit has cost all of the shop's. Two months are always done, so that a shop of any size gets on.
 */
const mostRead = 2300;
const readForNothing = 400;
const leastMonths = 2;

/** Asked once a month that is due: whether this night has time for it. */
export function nightBudget(jobs: number): (jobsKnown: number) => boolean {
  let months = 0;
  let read = jobs;
  return (jobsKnown) => {
    months++;
    read += Math.max(0, jobsKnown - readForNothing);
    return months <= leastMonths || read <= mostRead;
  };
}
