import type { Area, BodyStyle, Fabric, Method } from './vocabulary.ts';

/** A part of the interior as it mostly is: what a form begins with. */
interface UsualSection {
  readonly area: Area;
  readonly count: number;
  readonly fabric: Fabric;
  readonly method: Method;
}

/** The areas that a cloth cleaning of this body style mostly means: all seats. Common practice, no source. */
export function usualAreas(bodyStyle: BodyStyle): readonly Area[] {
  if (bodyStyle === 'van') return ['front-seat'];
  const rows = ['front-seat', 'rear-bench'] as const;
  return bodyStyle === 'suv-3row' || bodyStyle === 'minivan' ? [...rows, 'third-row'] : rows;
}

/** How many pieces an area mostly has, of what cloth, and how it is mostly cleaned. Common practice, no source. */
export function usualSection(area: Area, bodyStyle: BodyStyle): UsualSection {
  const usual = usualByArea[area];
  const doors = area === 'door-insert' && (bodyStyle === 'coupe' || bodyStyle === 'van') ? 2 : usual.count;
  return { area, ...usual, count: doors };
}

const usualByArea: Readonly<Record<Area, Omit<UsualSection, 'area'>>> = {
  'front-seat': { count: 2, fabric: 'flat-woven', method: 'extraction' },
  'rear-bench': { count: 1, fabric: 'flat-woven', method: 'extraction' },
  'third-row': { count: 1, fabric: 'flat-woven', method: 'extraction' },
  'floor-carpet': { count: 1, fabric: 'cut-pile', method: 'extraction' },
  'floor-mats': { count: 4, fabric: 'cut-pile', method: 'extraction' },
  cargo: { count: 1, fabric: 'loop-carpet', method: 'extraction' },
  'door-insert': { count: 4, fabric: 'flat-woven', method: 'spot' },
  headliner: { count: 1, fabric: 'headlining', method: 'spot' },
};
