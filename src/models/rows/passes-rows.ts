import {
  beforeEntries,
  columnCount,
  type Entries,
  type Layout,
  machineColumn,
  technicianColumn,
  weighted,
} from '../layout.ts';
import { type SecondPasses, saysTwoAtMost } from '../second-pass.ts';
import type { DoneJob, ShopView } from '../shop-view.ts';
import { type PassesCase, passesTerms } from '../terms/passes-terms.ts';
import { termEntries, termIds } from '../terms/term.ts';
import { type DoneSection, isExtracted } from '../work-section.ts';
import { collectRows, type ModelRows, type Row } from './model-rows.ts';

export function passesLayout(shop: Pick<ShopView, 'technicians' | 'machines'>): Layout {
  return { terms: termIds(passesTerms), technicians: shop.technicians, machines: shop.machines };
}

/**
 * Every section that had a pass: n and clean lies in (n − 1, n] on the scale of effort, not clean above n. Of somebody who makes a second one
 * to be safe, one or two and clean lies below two.
 */
export function passesRows(shop: ShopView, layout: Layout): ModelRows {
  return collectRows('passes', shop.jobs, columnCount(layout), (done) => ({
    rows: done.sections
      .filter(({ wetPasses }) => wetPasses > 0)
      .map((section) => row(layout, done, section, shop.secondPasses)),
  }));
}

/** Fixed terms and extractor of a section; the technician comes beside them. */
export function passesEntries(layout: Layout, of: PassesCase, machine: string | null): Entries {
  return [...termEntries(passesTerms, of), ...extractorEntries(layout, of, machine)];
}

/** The same of a section that is done. */
export function donePassesEntries(layout: Layout, { extractors }: DoneJob, section: DoneSection): Entries {
  return extractors.flatMap(({ key, grade, share }) => weighted(passesEntries(layout, { section, grade }, key), share));
}

function row(layout: Layout, done: DoneJob, section: DoneSection, secondPasses: SecondPasses): Row {
  const { result } = section;
  const isClean = result === 'clean';
  const atMost = isClean && section.wetPasses <= 2 && saysTwoAtMost(secondPasses, section);
  const wetPasses = atMost ? 2 : section.wetPasses;
  return {
    entries: [
      ...donePassesEntries(layout, done, section),
      [technicianColumn(layout, section.technician), 1],
      ...beforeEntries(layout, done.job.finishedAt),
    ],
    lower: atMost ? Number.NEGATIVE_INFINITY : Math.log(isClean ? wetPasses - 1 : wetPasses),
    upper: isClean ? Math.log(wetPasses) : Number.POSITIVE_INFINITY,
    shown: Math.ceil,
    typed: section.wetPasses,
  };
}

/** A record without an extractor says nothing of any: no column, not the spare one. */
function extractorEntries(layout: Layout, { section }: PassesCase, machine: string | null): Entries {
  if (machine === null || !isExtracted(section)) return [];
  const column = machineColumn(layout, machine);
  return column === undefined ? [] : [[column, 1]];
}
