import { z } from 'zod';
import { type Fault, fault, faultSaying } from '../domain/faults.ts';
import { usualSection } from '../domain/usual-sections.ts';
import { type BodyStyle, bodyStyles } from '../domain/vocabulary.ts';
import { instantOfClock, zonedMinute } from '../domain/zoned-time.ts';
import { readForm, type SentForm, withFaults } from '../pages/form-input.ts';
import { closedUp, type FormEntry, lengthOf, present, sectionEntries } from '../pages/job-entries.ts';
import type { Units } from '../pages/measures.ts';
import { formOf } from './form-of.ts';

/** A sent job form: what a record is checked from, the form as typed, and what is wrong before any check. */
interface SentJob extends SentForm {
  readonly faults: readonly Fault[];
}

interface Clock {
  readonly units: Units;
  readonly timeZone: string;
  /** The record that is being mended: its instant stays to the second where its minute was not changed. */
  readonly before?: string;
}

/** Text fields of a request, in their order. */
export async function entriesIn(c: Parameters<typeof formOf>[0]): Promise<FormEntry[]> {
  return [...(await formOf(c)).entries()].flatMap(([name, value]) =>
    typeof value === 'string' ? [[name, value] as const] : [],
  );
}

/** Adds or takes away a section or a person, as the pressed button says; undefined where none of these was pressed. */
export function reshaped(entries: readonly FormEntry[], units: Units): FormEntry[] | undefined {
  const pressed = entries.find(([name]) => name === 'reshape')?.[1];
  if (pressed === undefined) return undefined;
  const rest = entries.filter(([name]) => name !== 'reshape');
  if (pressed === 'add-section') return [...rest, ...present(nextSection(rest, units))];
  if (pressed === 'add-person') return [...rest, [`labour.${lengthOf(rest, 'labour')}.technician`, '']];
  const [list, place] = pressed.split(' ');
  return list === 'sections' || list === 'labour' ? closedUp(rest, list, (at) => at === Number(place)) : rest;
}

/** Reads a job form: litres from tank levels, the clock of the shop, no empty people. */
export function readJob(entries: readonly FormEntry[], { units, timeZone, before }: Clock): SentJob {
  const { input, form } = readForm(entries, units);
  const { tank, ...job } = input;
  const litres = litresOf(job, tank);
  const faults = [...litres.faults];
  const read: Record<string, unknown> = { ...job, ...litres.found };
  if (typeof job.finishedAt === 'string') {
    const instant = pressedAt(job.ticking) ?? instantOfClock(job.finishedAt, timeZone);
    const unchanged = before !== undefined && zonedMinute(new Date(before), timeZone).startsWith(job.finishedAt);
    if (unchanged) read.finishedAt = before;
    else if (instant) read.finishedAt = zonedMinute(instant, timeZone);
  }
  return { input: read, form: withFaults(form, faults), faults };
}

/** When the button was pressed, where the end of the work went on with the clock until then: bay.js says it. */
function pressedAt(ticking: unknown): Date | undefined {
  return z.iso.datetime().safeParse(ticking).success ? new Date(String(ticking)) : undefined;
}

interface Litres {
  readonly found: Record<string, number>;
  readonly faults: readonly Fault[];
}

/** Sprayed is what the clean tank lost, recovered what the waste tank gained; refills and emptyings counted. */
function litresOf(job: Record<string, unknown>, tank: unknown): Litres {
  const level = (name: string) => {
    const value = typeof tank === 'object' && tank !== null ? Reflect.get(tank, name) : undefined;
    return typeof value === 'number' ? value : undefined;
  };
  const clean = difference(level('cleanBefore'), level('cleanAfter'), level('refilled'));
  const waste = difference(level('wasteAfter'), level('wasteBefore') ?? 0, level('emptied'));
  const found: Record<string, number> = {};
  const faults = notNumbers(tank);
  for (const [field, litres, levels] of [
    ['sprayedLitres', clean, 'the clean tank'],
    ['recoveredLitres', waste, 'the waste tank'],
  ] as const) {
    if (litres === undefined) continue;
    if (job[field] !== undefined)
      faults.push(faultSaying([field], `Given as litres and by the levels of ${levels}: give one of them`));
    else if (litres < 0)
      faults.push(faultSaying([field], `By its levels ${levels} went the wrong way: look at before and after`));
    else found[field] = Number(litres.toFixed(6));
  }
  return { found, faults };
}

function notNumbers(tank: unknown): Fault[] {
  return Object.entries(typeof tank === 'object' && tank !== null ? tank : {}).flatMap(([name, value]) =>
    typeof value === 'number' ? [] : [fault(['tank', name], value, 'a number')],
  );
}

function difference(from: number | undefined, to: number | undefined, added = 0): number | undefined {
  return from === undefined || to === undefined ? undefined : from + added - to;
}

/** Another part of the interior: the first usual one that is not there yet. */
function nextSection(entries: readonly FormEntry[], units: Units) {
  const style = entries.find(([name]) => name === 'bodyStyle')?.[1];
  const bodyStyle: BodyStyle = bodyStyles.find((one) => one === style) ?? 'sedan';
  const there = new Set(entries.filter(([name]) => /^sections\.\d+\.area$/.test(name)).map(([, area]) => area));
  const order = ['front-seat', 'rear-bench', 'floor-carpet', 'floor-mats', 'door-insert', 'cargo'] as const;
  const area = order.find((one) => !there.has(one)) ?? 'front-seat';
  return sectionEntries({ ...usualSection(area, bodyStyle), result: 'clean' }, lengthOf(entries, 'sections'), units);
}
