/** The trade's closed lists. Order matters where it is a scale (soil, grade). */
export const bodyStyles = [
  'coupe',
  'hatchback',
  'sedan',
  'wagon',
  'suv',
  'suv-3row',
  'minivan',
  'pickup',
  'van',
] as const;
export const areas = [
  'front-seat',
  'rear-bench',
  'third-row',
  'floor-carpet',
  'floor-mats',
  'cargo',
  'door-insert',
  'headliner',
] as const;
export const seatAreas = ['front-seat', 'rear-bench', 'third-row'] as const satisfies readonly Area[];
export const fabrics = ['flat-woven', 'knit', 'velour', 'suede-like', 'loop-carpet', 'cut-pile', 'headlining'] as const;
export const soils = ['light', 'moderate', 'heavy', 'severe'] as const;
export const stains = ['drink', 'food', 'oil', 'protein', 'pet', 'mud', 'dye', 'smoke', 'unknown'] as const;
export const methods = ['spot', 'extraction', 'spot-then-extraction'] as const;
export const brushes = ['none', 'soft', 'medium', 'stiff'] as const;
export const dryingAids = ['still-air', 'open-doors', 'fan', 'dehumidifier', 'warm-room', 'sun'] as const;
export const results = ['clean', 'improved', 'unchanged'] as const;
export const comebacks = ['none', 'wick-back', 'odour', 'ring', 'still-damp'] as const;
export const damages = ['none', 'pilling', 'colour-loss', 'shrinkage'] as const;
export const grades = ['entry', 'standard', 'high'] as const;
export const roles = ['technician', 'desk', 'owner'] as const;

export type BodyStyle = (typeof bodyStyles)[number];
export type Area = (typeof areas)[number];
export type Fabric = (typeof fabrics)[number];
export type Soil = (typeof soils)[number];
export type Stain = (typeof stains)[number];
export type Method = (typeof methods)[number];
export type Brush = (typeof brushes)[number];
export type DryingAid = (typeof dryingAids)[number];
export type Result = (typeof results)[number];
export type Comeback = (typeof comebacks)[number];
export type Damage = (typeof damages)[number];
export type Grade = (typeof grades)[number];
export type Role = (typeof roles)[number];

/** Each role may do what those before it may: technician, desk, owner. */
export function mayDo(held: Role, needed: Role): boolean {
  return roles.indexOf(held) >= roles.indexOf(needed);
}
