import type { Brush, Grade, Method, Soil, Stain } from '../../domain/vocabulary.ts';
import { isExtracted, type WorkSection } from '../work-section.ts';
import { fabricTerms, indicator, type Term } from './term.ts';

/** What the passes of a section depend on. Spot work uses no extractor, whatever its grade. */
export interface PassesCase {
  readonly section: WorkSection;
  readonly grade: Grade;
}

/** Reference: moderate soil, flat weave, extraction, standard extractor, soft or unknown brush, no stain. */
export const passesTerms: readonly Term<PassesCase>[] = [
  { id: 'int', driver: 'typical', value: () => 1 },
  soil('light'),
  soil('heavy'),
  soil('severe'),
  ...fabricTerms<PassesCase>(({ section }) => section.fabric),
  method('spot', 'spot'),
  method('spotext', 'spot-then-extraction'),
  stain('st_oil', ['food', 'oil', 'protein']),
  stain('st_dye', ['drink', 'dye']),
  stain('st_pet', ['pet', 'smoke', 'mud']),
  brush('br_none', 'none'),
  brush('br_med', 'medium'),
  brush('br_stiff', 'stiff'),
  grade('entry'),
  grade('high'),
];

function soil(level: Soil): Term<PassesCase> {
  return { id: level, driver: 'soil', value: ({ section }) => indicator(section.soil === level) };
}

function method(id: string, kind: Method): Term<PassesCase> {
  return { id, driver: 'method', value: ({ section }) => indicator(section.method === kind) };
}

function stain(id: string, kinds: readonly Stain[]): Term<PassesCase> {
  return {
    id,
    driver: 'stains',
    value: ({ section }) => indicator(section.stains.some((kind) => kinds.includes(kind))),
  };
}

function brush(id: string, kind: Brush): Term<PassesCase> {
  return { id, driver: 'brush', value: ({ section }) => indicator(section.brush === kind) };
}

function grade(level: Grade): Term<PassesCase> {
  return {
    id: level,
    driver: 'extractor',
    value: (of) => indicator(of.grade === level && isExtracted(of.section)),
  };
}
