import type { Random } from '../../../../seed/random.ts';
import type { PlannedSection } from '../../../../src/domain/planned.ts';
import type { Area, Brush, Fabric } from '../../../../src/domain/vocabulary.ts';
import { type Dirt, dirtOf } from './dirt.ts';
import { awkwardness, pieceMinutes } from './reach.ts';
import type { Ledger, Visit } from './visit.ts';

/*
 * One section as it lies before somebody: its cloth and the foam below, how awkward it is, its dirt patch by patch once it has been vacuumed,
 * how much a round loosens there and when this person calls it clean. Numbers of cloth, foam and brushes: common practice, no source.
 */

export interface Bench {
  readonly visit: Visit;
  readonly ledger: Ledger;
  readonly section: PlannedSection;
  readonly m2: number;
  readonly cloth: Cloth;
  /** Foam or felt below, against a front seat's. */
  readonly depth: number;
  readonly awkward: number;
  readonly dirt: Dirt;
  /** Logarithm that a full round of solution and brush takes off the bound dirt. */
  readonly loosens: number;
  /** How dirty it may look to this person, here. */
  readonly threshold: number;
}

export interface Cloth {
  /** L/m². */
  readonly holds: number;
  readonly letsGo: number;
  readonly letsThrough: number;
  readonly slow: number;
}

/** Bound dirt that a customer no longer sees, at the usual standard. */
export const clean = 0.49;

/** The i-th section, vacuumed. */
export function layOut(i: number, visit: Visit, ledger: Ledger, random: Random): Bench {
  const section = visit.planned.sections[i];
  const cloth = cloths[section.fabric];
  const m2 = visit.surfaces[i];
  const severity = Math.exp(visit.soil[i]);
  const awkward = awkwardness(section, visit);
  const dirt = dirtOf(section, m2, severity, visit, random);
  const { lead, slow, spared } = visit;
  ledger.handMinutes += m2 * 4.2 * lead.vacuumCare * severity ** 0.25 * awkward * slow * spared * random.gamma(25);
  ledger.handMinutes += section.count * pieceMinutes[section.area] * 0.55 * awkward * slow;
  const loosens = 0.78 * cloth.letsGo * brushing[section.brush ?? 'soft'] * visit.chemistry;
  const threshold = clean * visit.shop.standard * lead.eye;
  return { visit, ledger, section, m2, cloth, depth: foamDepth[section.area], awkward, dirt, loosens, threshold };
}

const cloths: Readonly<Record<Fabric, Cloth>> = {
  'flat-woven': { holds: 0.3, letsGo: 1, letsThrough: 1, slow: 1 },
  knit: { holds: 0.36, letsGo: 0.95, letsThrough: 1.15, slow: 1.02 },
  velour: { holds: 0.44, letsGo: 0.85, letsThrough: 0.9, slow: 1.12 },
  'suede-like': { holds: 0.34, letsGo: 0.8, letsThrough: 0.7, slow: 1.2 },
  'loop-carpet': { holds: 0.45, letsGo: 0.95, letsThrough: 0.9, slow: 1 },
  'cut-pile': { holds: 0.55, letsGo: 0.9, letsThrough: 0.85, slow: 1.05 },
  headlining: { holds: 0.2, letsGo: 0.75, letsThrough: 1.2, slow: 1.3 },
};

const foamDepth: Readonly<Record<Area, number>> = {
  'front-seat': 1,
  'rear-bench': 0.85,
  'third-row': 0.7,
  'floor-carpet': 0.5,
  'floor-mats': 0.08,
  cargo: 0.35,
  'door-insert': 0.2,
  headliner: 0.18,
};

const brushing: Readonly<Record<Brush, number>> = { none: 0.8, soft: 1, medium: 1.12, stiff: 1.25 };
