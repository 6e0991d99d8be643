import { stillInUse } from '../domain/lists.ts';
import { zonedDay } from '../domain/zoned-time.ts';
import type { Offered } from '../pages/desk-plan.ts';
import { readLists } from '../store/lists.ts';
import type { ShopTransaction } from '../store/shop-scope.ts';
import type { PageContext } from './pages-env.ts';

/** Who and what a form offers: those on the lists today, by the shop's calendar. */
export async function offeredIn(c: PageContext, tx: ShopTransaction, now: Date): Promise<Offered> {
  const today = zonedDay(now, c.get('session').shop.timeZone);
  const { technicians, machines } = await readLists(tx);
  return { technicians: stillInUse(technicians, today), machines: stillInUse(machines, today) };
}
