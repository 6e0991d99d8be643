import { type Machine, stillInUse } from '../../domain/lists.ts';
import type { ShopFit } from '../../models/shop-fit.ts';
import { type DoneJob, readAs, shopView } from '../../models/shop-view.ts';
import { isExtracted } from '../../models/work-section.ts';
import { ofLastYear } from '../last-year.ts';
import { dayOf, type ShopRecords } from '../shop-records.ts';

/** Enough that the mix is the year's, few enough to answer at once. */
const mostJobs = 80;

/** The extracted jobs of the shop's last year, at most 80 of them, evenly taken: what extractors are compared on. */
export function workMix(fit: ShopFit, { records, technicians, machines }: ShopRecords, now: Date): readonly DoneJob[] {
  const { jobs } = shopView(ofLastYear(records, now), technicians, machines, fit.rules, readAs(fit));
  const extracted = jobs.filter(({ sections }) => sections.some((s) => isExtracted(s) && s.wetPasses > 0));
  const step = Math.max(1, extracted.length / mostJobs);
  return Array.from({ length: Math.min(extracted.length, mostJobs) }, (_, i) => extracted[Math.floor(i * step)]);
}

/** The extractor used most of those still there, for one that was sold is replaced by none; of all where none is. Undefined where none was used. */
export function mostUsed(shop: ShopRecords, now: Date): Machine | undefined {
  const { machines, records } = shop;
  const uses = (key: string) => records.filter(({ extractor }) => extractor === key).length;
  const used = machines.filter(({ key }) => uses(key) > 0);
  const here = stillInUse(used, dayOf(shop, now));
  return [...(here.length > 0 ? here : used)].sort((a, b) => uses(b.key) - uses(a.key))[0];
}
