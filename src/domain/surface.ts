import type { Area, BodyStyle } from './vocabulary.ts';

/** Cleaned surface in m² of a section whose own was not measured. Common practice, no published source. */
export function tableSurfaceM2(area: Area, count: number, bodyStyle: BodyStyle): number {
  return surfacePerPiece[area] * count * bodySize[bodyStyle];
}

/** The section's own surface, or the table's; in m². */
export function surfaceM2Of(
  section: { readonly area: Area; readonly count: number; readonly surfaceM2?: number | undefined },
  bodyStyle: BodyStyle,
): number {
  return section.surfaceM2 ?? tableSurfaceM2(section.area, section.count, bodyStyle);
}

/** m² of one piece in a sedan: a pair of front seats has 1.6, four floor mats have 1.0, four door inserts 0.8. */
const surfacePerPiece: Readonly<Record<Area, number>> = {
  'front-seat': 0.8,
  'rear-bench': 1.7,
  'third-row': 1.4,
  'floor-carpet': 2.2,
  'floor-mats': 0.25,
  cargo: 1.2,
  'door-insert': 0.2,
  headliner: 2.0,
};

/** Interior against a sedan's. */
const bodySize: Readonly<Record<BodyStyle, number>> = {
  coupe: 0.9,
  hatchback: 0.95,
  sedan: 1,
  wagon: 1.05,
  suv: 1.1,
  'suv-3row': 1.2,
  minivan: 1.3,
  pickup: 1,
  van: 1.3,
};
