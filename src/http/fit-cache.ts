import type { Shop } from '../domain/shop.ts';
import { fitShop } from '../models/fit.ts';
import { readShopFit } from '../models/fit-codec.ts';
import type { ShopFit } from '../models/shop-fit.ts';
import { readPosterior, readPublishedId } from '../store/fits.ts';
import { readLists, type ShopLists } from '../store/lists.ts';
import type { ShopTransaction } from '../store/shop-scope.ts';
import { readOwnShop } from '../store/shops.ts';
import { keep } from './keep.ts';

/** What an estimate is made from: the shop as it is now, and what was learnt of it. */
export interface EstimateBasis extends ShopLists {
  readonly shop: Shop;
  readonly fit: ShopFit;
  /** The stored fit; null where the shop has none yet, or one of another version until the next night: the rules of thumb answer alone. */
  readonly fitId: string | null;
}

/** Decoded fits kept at once, about half a megabyte each; the one used longest ago goes first. */
const keptFits = 64;

/** Where no records speak, the day on which they were read cannot matter; a constant keeps the answers the same. */
const beforeAnyRecord = new Date(0);

/** The basis of the shop of a transaction. */
export type BasisOf = (tx: ShopTransaction) => Promise<EstimateBasis>;

/** Reads what an estimate needs in one round trip; the bulk of a fit is read and decoded once and then kept. */
export function createFitCache(): BasisOf {
  const kept = new Map<string, ShopFit>();
  return async (tx) => {
    const [shop, fitId, lists] = await Promise.all([readOwnShop(tx), readPublishedId(tx), readLists(tx)]);
    const basis = { shop, ...lists };
    const stored = fitId === undefined ? undefined : (kept.get(fitId) ?? (await storedFit(tx, fitId)));
    const rulesName = JSON.stringify([tx.shopId, shop.settings.rules, shop.timeZone, lists]);
    const fit = stored ?? kept.get(rulesName) ?? unfitted(basis);
    keep(kept, stored === undefined || fitId === undefined ? rulesName : fitId, fit, keptFits);
    return { ...basis, fit, fitId: stored === undefined ? null : (fitId ?? null) };
  };
}

async function storedFit(tx: ShopTransaction, fitId: string): Promise<ShopFit | undefined> {
  const posterior = await readPosterior(tx, fitId);
  if (posterior === undefined) throw new Error(`fit ${fitId} is published without its posterior`);
  return readShopFit(posterior);
}

/** The rules of thumb as this shop has adjusted them. */
function unfitted({ shop, technicians, machines }: Omit<EstimateBasis, 'fit' | 'fitId'>): ShopFit {
  const { timeZone, settings } = shop;
  const { rules } = settings;
  const result = fitShop({ records: [], technicians, machines, rules, now: beforeAnyRecord, timeZone });
  if (result.status === 'fitted') return result.fit;
  throw new Error(result.failures.map(({ model, message }) => `${model}: ${message}`).join('; '));
}
