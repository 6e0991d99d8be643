import type { Machine, Technician } from '../src/domain/lists.ts';
import type { FinishedJobInput } from '../src/domain/record.ts';
import type { DryingAid } from '../src/domain/vocabulary.ts';
import { daySlots, type Slot } from './diary.ts';
import { mixUpReadings, type TrueJob, writeDown } from './paperwork.ts';
import { drawComeback, drawDamage, dryingChecks, handedBackAfter } from './process-after.ts';
import { dryingHours } from './process-drying.ts';
import { cleanSection } from './process-soil.ts';
import { workMinutes } from './process-time.ts';
import { wetSection } from './process-water.ts';
import { createRandom, type Random } from './random.ts';
import { comebackDays, historyMonths, lists, shop } from './scenario.ts';
import { drawWeather, type Weather } from './weather.ts';

export interface DemoShop {
  readonly shop: typeof shop;
  readonly technicians: readonly Technician[];
  readonly machines: readonly Machine[];
  readonly records: readonly FinishedJobInput[];
}

/**
 * The invented demonstration shop: eighteen months of jobs up to the day before `endOn` (an ISO date), as its people would
 * have written them down. Made by a process of soil, water, time and air that shares nothing with the models.
 */
export function demoShop(seed: number, endOn: string): DemoShop {
  const endDay = dayOf(endOn);
  const firstDay = dayOf(monthsBefore(endOn, historyMonths));
  const weather = drawWeather(firstDay, endDay - firstDay + 5, createRandom(seed, 0));
  const records: FinishedJobInput[] = [];
  let stream = 1;
  for (let day = firstDay; day < endDay; day += 1) {
    const month = Math.floor((day - firstDay) / 30.44);
    for (const slot of daySlots(day, month, createRandom(seed, -day))) {
      const random = createRandom(seed, stream);
      stream += 1;
      const job = workJob(slot, weather, 24 * endDay, random);
      if (job) records.push(writeDown(job, `T-${String(records.length + 1).padStart(4, '0')}`, weather, random));
    }
  }
  return { shop, ...lists((month) => monthsBefore(endOn, historyMonths - month)), records: mixUpReadings(records) };
}

function workJob(slot: Slot, weather: Weather, endHour: number, random: Random): TrueJob | undefined {
  const { vehicle, person, extractor } = slot;
  const { habits } = person;
  const finalVacuum = random.chance(habits.finalVacuum);
  const worked = vehicle.parts.map((part) => {
    const soil = cleanSection(part, habits, extractor, random);
    return { part, soil, water: wetSection(part, soil, habits, extractor, finalVacuum, random) };
  });
  const crew = slot.helper ? 2 : 1;
  const unpractised = 0.22 * Math.exp(-(slot.month - (person.joinsInMonth ?? -24)) / 2.5);
  const circumstances = { startHour: slot.startHour % 24, crew, unpractised };
  const minutes = workMinutes(vehicle, worked, extractor, habits, circumstances, random);
  const finishedHour = finishHour(slot.startHour, minutes / 60 / crew);
  if (finishedHour > endHour) return undefined;
  const aid = chooseAid(finishedHour, random);
  const dryHours = Math.max(
    ...worked.map(({ part, water }) =>
      dryingHours(
        { fabric: part.fabric, leftPerM2: water.leftPerM2 },
        vehicle.foam * random.spread(0.12),
        aid,
        finishedHour,
        weather,
      ),
    ),
  );
  const checks = dryingChecks(finishedHour, dryHours, endHour, random);
  const handedBack = handedBackAfter(checks, finishedHour, random);
  const after = { comeback: drawComeback(worked, dryHours, handedBack, random), damage: drawDamage(worked, random) };
  return {
    vehicle,
    worked,
    extractor,
    technicians: [person.key, ...(slot.helper ? [slot.helper.key] : [])],
    habits,
    minutes,
    finishedHour,
    finalVacuum,
    aid,
    checks,
    aftermath: finishedHour + 24 * comebackDays <= endHour ? after : undefined,
  };
}

/** Half an hour at noon; what is not done by half past six goes on at eight on the next open day. */
function finishHour(startHour: number, hours: number): number {
  const midnight = 24 * Math.floor(startHour / 24);
  const lunch = startHour - midnight < 12 && startHour - midnight + hours > 12 ? 0.5 : 0;
  const end = startHour + hours + lunch;
  if (end <= midnight + 18.5) return end;
  const nextOpen = (midnight / 24 + 4) % 7 === 6 ? 48 : 24;
  return midnight + nextOpen + 8 + (end - midnight - 18.5);
}

function chooseAid(hour: number, random: Random): DryingAid {
  const summer = 0.5 - 0.5 * Math.cos((2 * Math.PI * (hour / 24 - 19)) / 365.25);
  return random.pick<DryingAid>({
    'still-air': 2,
    'open-doors': 3 + 2 * summer,
    fan: 3.5,
    dehumidifier: 1.2 * (1 - summer) + 0.3,
    'warm-room': 1.5 * (1 - summer),
    sun: 1.3 * summer,
  });
}

function dayOf(date: string): number {
  return Math.floor(Date.parse(`${date}T00:00:00Z`) / 86_400_000);
}

function monthsBefore(date: string, months: number): string {
  const then = new Date(`${date}T00:00:00Z`);
  then.setUTCDate(Math.min(then.getUTCDate(), 28));
  then.setUTCMonth(then.getUTCMonth() - months);
  return then.toISOString().slice(0, 10);
}
