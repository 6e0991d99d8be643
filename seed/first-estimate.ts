import { type PlannedJobInput, plannedJob } from '../src/domain/planned.ts';
import { plainEstimate } from '../src/insight/plain-estimate.ts';
import { estimateJob } from '../src/models/estimate.ts';
import { decodeShopFit } from '../src/models/fit-codec.ts';
import { readPublished } from '../src/store/fits.ts';
import { readMachines, readTechnicians } from '../src/store/lists.ts';
import { type Database, inShop } from '../src/store/shop-scope.ts';
import { readShop } from '../src/store/shops.ts';

/** The job that the demonstration asks about: what most quotes are for. */
const firstPlan: PlannedJobInput = {
  bodyStyle: 'sedan',
  seatsRemoved: true,
  extractor: 'grey-barrel',
  sections: [
    { area: 'front-seat', count: 2, fabric: 'flat-woven', soil: 'moderate', method: 'extraction' },
    { area: 'rear-bench', fabric: 'flat-woven', soil: 'moderate', method: 'extraction' },
  ],
  drying: { aid: 'open-doors', airC: 20, rhPercent: 50 },
};

/** One estimate of the demonstration shop in plain words. Throws where it has no published fit. */
export async function firstEstimate(db: Database, shopId: string, now: Date): Promise<readonly string[]> {
  return inShop(db, shopId, async (tx) => {
    const published = await readPublished(tx);
    const shop = await readShop(tx);
    if (!published || !shop) throw new Error('the demonstration shop has no published fit');
    const { settings, timeZone } = shop;
    const context = {
      now,
      settings,
      timeZone,
      technicians: await readTechnicians(tx),
      machines: await readMachines(tx),
    };
    return plainEstimate(estimateJob(decodeShopFit(published.posterior), plannedJob.parse(firstPlan), context));
  });
}
