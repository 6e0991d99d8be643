import type { Random } from '../../../../seed/random.ts';
import type { DryingAid } from '../../../../src/domain/vocabulary.ts';
import type { Outcome } from '../types.ts';
import type { BayAir } from './air.ts';
import { type Labour, labourOf } from './crew.ts';
import { dryHours, type Wet } from './drying.ts';
import { atTheEnd, tendTanks, vacuumed } from './finish.ts';
import type { Hand } from './people.ts';
import { prepare } from './reach.ts';
import { type SectionWork, workSection } from './section.ts';
import { drawVisit, type Ledger, type PatchSetting, type Visit } from './visit.ts';

/*
 * A shop patch by patch, written from the trade's description alone: every section is a handful of patches with loose, bound and deep soil;
 * people go over what still looks dirty to their own eye and stop by eye, habit or want of patience; minutes are tasks one after the other,
 * some of which only the one machine can do; water lies in cloth and foam; the air of the bay has days, nights and seasons.
 */

/** What happened, and what the papers need of it. */
export interface PatchOutcome extends Outcome {
  readonly lead: Hand;
  readonly mate: Hand | undefined;
  readonly surfaces: readonly number[];
  readonly minutes: readonly number[];
  readonly finishHour: number;
  readonly spotRounds: readonly number[];
  readonly air: BayAir;
  readonly aid: DryingAid;
  readonly finalVacuum: boolean;
}

/** One draw of what a job comes to, from the inspection to dry cloth. */
export function patches(setting: PatchSetting, random: Random): PatchOutcome {
  const visit = drawVisit(setting, random);
  const ledger: Ledger = { machineMinutes: 0, handMinutes: 0, sprayed: 0, recovered: 0, refill: 0 };
  prepare(visit, ledger, random);
  const passed = visit.planned.sections.map((_, i) => workSection(i, visit, ledger, random));
  const finalVacuum = visit.planned.finalVacuum ?? random.chance(0.5);
  const worked = finalVacuum ? passed.map((work, i) => vacuumed(work, visit.surfaces[i], visit, ledger)) : passed;
  tendTanks(visit, ledger, random);
  const labour = labourOf(visit, ledger, random);
  const wets = worked.map((work) => atTheEnd(work, visit, ledger, labour));
  const { lead, mate, surfaces, air, aid } = visit;
  return {
    ...waterOf(worked, wets, surfaces),
    hours: labour.personHours,
    sprayedLitres: ledger.sprayed,
    recoveredLitres: ledger.recovered,
    dryingHours: slowestHours(wets, visit, labour, random),
    lead,
    mate,
    surfaces,
    minutes: labour.minutes,
    finishHour: labour.finishHour,
    spotRounds: worked.map(({ spotRounds }) => spotRounds),
    air,
    aid,
    finalVacuum,
  };
}

function waterOf(worked: readonly SectionWork[], wets: readonly Wet[], surfaces: readonly number[]) {
  const sections = worked.map(({ passes }, i) => ({ ...passes, leftPerM2: wets[i].cloth + wets[i].foam }));
  const litres = sections.map(({ leftPerM2 }, i) => leftPerM2 * surfaces[i]);
  const total = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0);
  return {
    sections,
    extractedLeftLitres: total(litres.map((left, i) => (worked[i].isExtracted ? left : 0))),
    leftLitres: total(litres),
    wettestPerM2: Math.max(...sections.map(({ leftPerM2 }) => leftPerM2)),
  };
}

function slowestHours(wets: readonly Wet[], visit: Visit, { finishHour }: Labour, random: Random): number {
  const { air, aid, planned, shop, lead } = visit;
  const place = { air, bay: shop.bay, planned, aid, finishHour, habit: lead.dryingHabit };
  return Math.max(...wets.map((wet) => dryHours(wet, place, random)));
}
