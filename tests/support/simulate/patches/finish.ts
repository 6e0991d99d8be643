import type { Random } from '../../../../seed/random.ts';
import type { Labour } from './crew.ts';
import { evaporated, type Wet } from './drying.ts';
import type { SectionWork } from './section.ts';
import type { Ledger, Visit } from './visit.ts';

/*
 * After the last pass: a vacuum round over what was extracted, tanks to be rinsed and, on the way, filled again; and the first sections dry
 * already while the last ones are worked on. Minutes and shares: common practice, no source.
 */

/** How wet a section is after a vacuum round, which does little for deep foam; what it takes may go into a tank of its own. */
export function vacuumed(work: SectionWork, m2: number, visit: Visit, ledger: Ledger): SectionWork {
  if (!work.isExtracted) return work;
  const { wet } = work;
  ledger.handMinutes += m2 * 1.9 * visit.slow * visit.spared;
  const took = wet.cloth * 0.22 + (wet.foam * 0.05) / (0.5 + wet.depth);
  if (!visit.shop.vacuumApart) ledger.recovered += took * m2;
  return { ...work, wet: { ...wet, cloth: wet.cloth * 0.78, foam: wet.foam * (1 - 0.05 / (0.5 + wet.depth)) } };
}

/** Trips to the tap while the work stands, then rinse and coil up. */
export function tendTanks({ engine }: Visit, ledger: Ledger, random: Random): void {
  if (!engine) return;
  const trips = Math.floor(ledger.refill / engine.tankL + random.uniform() * 0.6);
  ledger.machineMinutes += trips * 5.5 * random.gamma(6);
  ledger.handMinutes += 9 * random.gamma(8);
}

/** How wet a section still is when the work ends, at most three tenths drier in the cloth than when it was done. */
export function atTheEnd({ wet, doneAt }: SectionWork, visit: Visit, ledger: Ledger, { wallHours }: Labour): Wet {
  const total = ledger.machineMinutes + ledger.handMinutes;
  const waited = (1 - doneAt / total) * wallHours;
  const gone = Math.min(0.3 * wet.cloth, evaporated(visit.air, visit.shop.bay, 0.5) * waited);
  return { ...wet, cloth: wet.cloth - gone };
}
