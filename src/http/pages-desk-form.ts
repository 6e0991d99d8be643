import { type Fault, faultSaying } from '../domain/faults.ts';
import { usualAreas } from '../domain/usual-sections.ts';
import { areas, type BodyStyle } from '../domain/vocabulary.ts';
import { instantOfClock, zonedMinute } from '../domain/zoned-time.ts';
import { planFaultWords } from '../pages/desk-fault-words.ts';
import { otherWays } from '../pages/desk-other-ways.ts';
import { type FormState, type SentForm, withFaults } from '../pages/form-input.ts';
import type { Formats } from '../pages/format.ts';
import type { Units } from '../pages/measures.ts';

/** A sent form of the desk as the planned job that it means, and the line of the form behind each section. */
interface PlanSent {
  readonly input: Readonly<Record<string, unknown>>;
  readonly lines: readonly number[];
}

/** The ticked lines become the sections, the shop's clock an instant, the other ways alternatives. */
export function planSent({ input }: SentForm, timeZone: string): PlanSent {
  const { sections, startAt, other, do: _, ...rest } = input;
  const ticked = tickedLines(sections);
  return {
    input: {
      ...rest,
      sections: ticked.map(({ part }) => part),
      ...(startAt === undefined ? {} : { startAt: startOf(startAt, timeZone) }),
      ...(isObject(other) ? { alternatives: otherWays(other, input, ticked.length) } : {}),
    },
    lines: ticked.map(({ line }) => line),
  };
}

/** Work that began long ago is a slip of the year: no customer waits for it. */
export function startFaults({ input: { startAt } }: PlanSent, now: Date, timeZone: string, formats: Formats): Fault[] {
  const earliest = new Date(now.getTime() - dayMs);
  if (!(Date.parse(String(startAt)) < earliest.getTime())) return [];
  const onClock = (iso: string) => formats.clock(iso.slice(0, 16));
  const rule = `a day ago at the earliest, ${onClock(zonedMinute(earliest, timeZone))}`;
  return [faultSaying(['startAt'], `startAt is ${onClock(String(startAt))}: ${rule}`)];
}

const dayMs = 86_400_000;

/** The same form with the usual seats of its body style ticked, and nothing else. */
export function withUsualTicks({ input, form }: SentForm, bodyStyle: BodyStyle): SentForm {
  const usual = usualAreas(bodyStyle);
  const ticked = (line: number) => usual.some((area) => area === areas[line]);
  const sections = Array.isArray(input.sections) ? input.sections : [];
  return {
    input: { ...input, sections: sections.map((part: object, line) => ({ ...part, cleaned: ticked(line) })) },
    form: {
      ...form,
      typed: (name) => {
        const line = /^sections\.(\d+)\.cleaned$/.exec(name)?.[1];
        return line === undefined ? form.typed(name) : ticked(Number(line)) ? 'yes' : '';
      },
    },
  };
}

/** The form with each fault at its field, and said in the words of the form. */
export function withPlanFaults(
  { form }: SentForm,
  faults: readonly Fault[],
  { lines, input }: PlanSent,
  units: Units,
): FormState {
  return withFaults(
    form,
    faults.map((fault) => {
      const pointer = fault.pointer.replace(/^\/sections\/(\d+)/, (_, i) => `/sections/${lines[Number(i)] ?? i}`);
      const typed = form.typed(pointer.slice(1).replaceAll('/', '.'));
      return { ...fault, pointer, ...planFaultWords(fault, { input, typed, units }) };
    }),
  );
}

function tickedLines(sections: unknown): { readonly part: Record<string, unknown>; readonly line: number }[] {
  if (!Array.isArray(sections)) return [];
  return Array.from(sections, (sent: unknown) => sent).flatMap((sent, line) => {
    if (!isObject(sent)) return [];
    const { cleaned, ...part } = sent;
    const isTicked = line < areas.length ? cleaned === true : part.area !== undefined;
    return isTicked ? [{ part, line }] : [];
  });
}

/** What is no date and time is left as it is, for the rules to say so. */
function startOf(typed: unknown, timeZone: string): unknown {
  const instant = instantOfClock(String(typed), timeZone);
  return instant === undefined ? typed : zonedMinute(instant, timeZone);
}

function isObject(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}
