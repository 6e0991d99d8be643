import type { Random } from '../../../../seed/random.ts';
import { clock } from './calendar.ts';
import { slowWhenNew } from './people.ts';
import type { Ledger, Visit } from './visit.ts';

/*
 * Minutes of one person or of two with one machine: the second does what needs no machine, then waits or helps. Telephone, customers and
 * lunch come between. Minutes and shares: common practice, no source.
 */

export interface Labour {
  /** Of the lead, and of the mate where there is one. */
  readonly minutes: readonly number[];
  readonly personHours: number;
  readonly wallHours: number;
  readonly finishHour: number;
}

export function labourOf(visit: Visit, ledger: Ledger, random: Random): Labour {
  const [bench, mates] = visit.mate ? shared(visit, ledger) : [ledger.machineMinutes + ledger.handMinutes, 0];
  const mine = interrupted(bench, mates, visit, random);
  const wallHours = Math.max(mine, mates) / 60;
  const start = clock(visit.startHour);
  const lunch = start < 12.5 && start + wallHours > 12.5 ? 0.6 : 0;
  return {
    minutes: visit.mate ? [mine, mates] : [mine],
    personHours: (mine + mates) / 60,
    wallHours,
    finishHour: visit.startHour + wallHours + lunch,
  };
}

/** The lead has the machine, the mate the rest; both a little slower for being in each other's way. */
function shared(visit: Visit, { machineMinutes, handMinutes }: Ledger): [mine: number, mates: number] {
  const coordination = 1.05;
  const matePace = paceAgainstLead(visit);
  const others = handMinutes * matePace;
  if (others <= machineMinutes) {
    const booked = others + visit.shop.idleBooked * (machineMinutes - others);
    return [machineMinutes * coordination, booked * coordination];
  }
  // Whoever holds the machine helps when done with it: both end together.
  const help = (others - machineMinutes) / (1 + matePace);
  const each = (machineMinutes + help) * coordination;
  return [each, each];
}

function paceAgainstLead({ lead, mate, startHour }: Visit): number {
  if (!mate) return 1;
  return (mate.pace * slowWhenNew(mate, startHour)) / (lead.pace * slowWhenNew(lead, startHour));
}

/** Some six minutes each, more often in a busy shop and on a busy day; they fall to the lead. */
function interrupted(mine: number, mates: number, { shop, isHurried }: Visit, random: Random): number {
  const expected = ((mine + mates) / 60) * 0.35 * shop.bustle * (isHurried ? 1.5 : 1);
  let minutes = mine;
  for (let n = random.poisson(Math.min(8, expected)); n > 0; n -= 1) minutes += 6 * random.gamma(1.3);
  return minutes;
}
