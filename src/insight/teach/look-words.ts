import { zonedDay } from '../../domain/zoned-time.ts';
import { hasWetLook, isChecked, isDryAlone, noteDryAlone } from '../../models/dry-alone.ts';
import type { ShopFit } from '../../models/shop-fit.ts';
import { mainTechnician } from '../../models/work-section.ts';
import type { ShopRecords } from '../shop-records.ts';

/** With fewer than this there is nothing to say of how a shop looks. */
const fewest = 10;

/** How the drying checks are read where mostly the look that found it dry is noted alone, whose or until when; null where wet looks are noted. */
export function looksInWords({ looks }: Pick<ShopFit, 'looks'>, shop: ShopRecords): string | null {
  const checked = shop.records.filter(isChecked);
  const until = untilWhen(looks, shop);
  const some = until === '' ? whoNoteDryAlone(checked) : [];
  const among = checked.filter(
    (job) => isDryAlone(looks.dryAlone, job) && (some.length === 0 || some.includes(mainTechnician(job))),
  );
  const dryAlone = among.filter((job) => !hasWetLook(job)).length;
  if (dryAlone < fewest) return null;
  const ofThem = dryAlone === among.length ? `all ${dryAlone}` : `${dryAlone} of ${among.length}`;
  const told = `Of ${ofThem} jobs${named(some, shop)}${until} with drying checks nothing is noted but a look that found it dry.`;
  const read =
    looks.wetUntil > 0
      ? `Their hours follow the work, so that they are read as those of somebody who looked until it was dry: still wet at ${Math.round(100 * looks.wetUntil)} % of the hours noted, and for 8 hours at most. That share is a guess`
      : 'Their hours lie about one time whatever the work was, so that they are read as a single look each: dry at any time before. How much sooner they do not tell';
  return `${told} ${read}: note a look that found it still wet as well.`;
}

/** The people who note hardly any wet look; none where it is all or nobody. */
function whoNoteDryAlone(checked: ShopRecords['records']): readonly string[] {
  const people = [...new Set(checked.map(mainTechnician))];
  const some = people.filter((one) => noteDryAlone(checked.filter((job) => mainTechnician(job) === one)));
  return some.length < people.length ? some : [];
}

function named(keys: readonly string[], { technicians }: ShopRecords): string {
  if (keys.length === 0) return '';
  return ` of ${keys.map((one) => technicians.find(({ key }) => key === one)?.name ?? one).join(', ')}`;
}

/** The last day of the last of them, where all have begun to note wet looks since. */
function untilWhen({ dryAlone }: ShopFit['looks'], { timeZone = 'UTC' }: ShopRecords): string {
  const ends = dryAlone.map(({ until }) => (until === null ? Number.POSITIVE_INFINITY : Date.parse(until)));
  const last = Math.max(...ends);
  return Number.isFinite(last) ? ` until ${zonedDay(new Date(last), timeZone)}` : '';
}
