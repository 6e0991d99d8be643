import {
  beforeEntries,
  columnCount,
  type Entries,
  type Layout,
  machineColumn,
  technicianColumn,
  weighted,
} from '../layout.ts';
import { minutesReadingSd } from '../minutes.ts';
import type { DoneJob, ShopView } from '../shop-view.ts';
import { extractedShare, type LabourCase, labourSpread, labourTerms, meanPasses } from '../terms/labour-terms.ts';
import { termEntries, termIds } from '../terms/term.ts';
import { contentMinutes, workContent } from '../work-content.ts';
import { collectRows, type ModelRows, type RecordRows } from './model-rows.ts';

export function labourLayout(shop: Pick<ShopView, 'technicians' | 'machines'>): Layout {
  return { terms: termIds(labourTerms), technicians: shop.technicians, machines: shop.machines };
}

/** Every job: its person-hours over its work content, good to the step in which the shop writes its minutes. */
export function labourRows(shop: ShopView, layout: Layout): ModelRows {
  const read = collectRows('labour', shop.jobs, columnCount(layout), (done) => rowOf(layout, done));
  return { ...read, readingSd: minutesReadingSd(shop.jobs.map(({ job }) => job)) };
}

/** Fixed terms and extractor of a job; the technicians come beside them. */
export function labourEntries(layout: Layout, of: LabourCase, machine: string | null): Entries {
  const share = extractedShare(of);
  const column = machine === null || share === 0 ? undefined : machineColumn(layout, machine);
  return [...termEntries(labourTerms, of), ...(column === undefined ? [] : [[column, share] as const])];
}

function rowOf(layout: Layout, { job, sections, extractors }: DoneJob): RecordRows {
  const worked = job.labour.filter(({ minutes }) => minutes > 0);
  const minutes = worked.reduce((sum, one) => sum + one.minutes, 0);
  if (minutes === 0) return { doubt: 'no minutes of labour' };
  const passes = sections.map(({ wetPasses }) => wetPasses);
  const { bodyStyle, seatsRemoved } = job;
  const of = {
    bodyStyle,
    seatsRemoved,
    sections,
    meanPasses: meanPasses(sections, passes),
    crew: worked.length,
  };
  const logHours = Math.log(minutes / 60);
  const row = {
    entries: [
      ...extractors.flatMap(({ key, grade, share }) => weighted(labourEntries(layout, { ...of, grade }, key), share)),
      ...worked.map((one) => [technicianColumn(layout, one.technician), one.minutes / minutes] as const),
      ...beforeEntries(layout, job.finishedAt),
    ],
    lower: logHours,
    upper: logHours,
    offset: Math.log(contentMinutes(workContent(sections, seatsRemoved), passes) / 60),
    spread: labourSpread(sections),
  };
  return { rows: [row] };
}
