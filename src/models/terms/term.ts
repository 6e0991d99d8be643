import type { Fabric } from '../../domain/vocabulary.ts';
import type { Entries } from '../layout.ts';

/** What a term tells about, for people: the drivers of an estimate are summed by it. */
export type Driver =
  | 'typical'
  | 'soil'
  | 'fabric'
  | 'method'
  | 'stains'
  | 'brush'
  | 'extractor'
  | 'technician'
  | 'body style'
  | 'seats in or out'
  | 'surface and passes'
  | 'second passes to be safe'
  | 'passes'
  | 'sections'
  | 'crew'
  | 'dry passes'
  | 'last round with the vacuum'
  | 'water left in'
  | 'air'
  | 'drying aid'
  | 'drying aid not said'
  | 'season'
  | 'night';

/** One fixed term of a model: its value for a case is 0 at the reference job. */
export interface Term<Case> {
  readonly id: string;
  readonly driver: Driver;
  readonly value: (of: Case) => number;
}

export function termIds<Case>(terms: readonly Term<Case>[]): readonly string[] {
  return terms.map((term) => term.id);
}

/** A case's entries of the design, times a weight; the columns are the terms' places. */
export function termEntries<Case>(terms: readonly Term<Case>[], of: Case, weight = 1): Entries {
  const entries: Entries = [];
  for (let column = 0; column < terms.length; column++) {
    const value = terms[column].value(of) * weight;
    if (value !== 0) entries.push([column, value]);
  }
  return entries;
}

/** 1 where it holds, 0 where it does not. */
export function indicator(holds: boolean): number {
  return holds ? 1 : 0;
}

/** The fabrics beside flat weave, which is the reference of every model that reads them. */
export function fabricTerms<Case>(fabricOf: (of: Case) => Fabric): readonly Term<Case>[] {
  const term = (id: string, fabric: Fabric): Term<Case> => ({
    id,
    driver: 'fabric',
    value: (of) => indicator(fabricOf(of) === fabric),
  });
  return [
    term('knit', 'knit'),
    term('velour', 'velour'),
    term('suede', 'suede-like'),
    term('loop', 'loop-carpet'),
    term('cut', 'cut-pile'),
    term('headlining', 'headlining'),
  ];
}
