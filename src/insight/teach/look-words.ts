import type { FinishedJob } from '../../domain/record.ts';
import { areNotedWet } from '../../models/looks.ts';
import type { ShopFit } from '../../models/shop-fit.ts';

/** With fewer than this there is nothing to say of how a shop looks. */
const fewest = 10;

/** How the drying checks are read where mostly the look that found it dry is noted alone; null where wet looks are noted as well. */
export function looksInWords({ looks }: Pick<ShopFit, 'looks'>, records: readonly FinishedJob[]): string | null {
  const checked = records.filter(({ drying }) => (drying?.checks.length ?? 0) > 0);
  const dryAlone = checked.filter(({ drying }) => drying?.checks.every(({ dry }) => dry)).length;
  if (dryAlone < fewest || areNotedWet(dryAlone, checked.length)) return null;
  const told = `Of ${dryAlone} of ${checked.length} jobs with drying checks nothing is noted but a look that found it dry.`;
  const read =
    looks.wetUntil > 0
      ? `Their hours follow the work, so that they are read as those of somebody who looked until it was dry: still wet at ${Math.round(100 * looks.wetUntil)} % of the hours noted, and for 8 hours at most. That share is a guess`
      : 'Their hours lie about one time whatever the work was, so that they are read as a single look each: dry at any time before. How much sooner they do not tell';
  return `${told} ${read}: note a look that found it still wet as well.`;
}
