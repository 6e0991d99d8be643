import type { Driver } from '../terms/term.ts';
import type { DriverPart, Explanation, ShownFigures } from './drivers.ts';

const units: Readonly<Record<keyof ShownFigures, { readonly unit: string; readonly digits: number }>> = {
  passes: { unit: 'passes', digits: 2 },
  labourHours: { unit: 'hours', digits: 2 },
  waterLPerM2: { unit: 'L/m²', digits: 3 },
  dryHours: { unit: 'hours', digits: 2 },
};

const words: Partial<Readonly<Record<Driver | 'spread', string>>> = {
  technician: 'who does it',
  passes: 'what passes cost here',
  sections: 'the number of sections',
  crew: 'working in two',
  night: 'the hours of the night',
  spread: 'the rest: sections that differ, the spread of such jobs',
};

/** What moved a figure from the typical job, in one sentence whose numbers, as printed, add up. */
export function driversInWords(figure: keyof ShownFigures, { typical, parts, shown }: Explanation): string {
  const { unit, digits } = units[figure];
  const step = 10 ** -digits;
  const steps = (value: number) => Math.round(value / step);
  const named = parts.filter(({ driver, adds }) => driver !== 'spread' && steps(adds) !== 0);
  // Rounding is left to the rest, which is one anyway.
  const rest = named.reduce((left, { adds }) => left - steps(adds), steps(shown) - steps(typical));
  const inSteps = (count: number) => (count * step).toFixed(digits);
  const said = (value: number) => inSteps(steps(value));
  const amount = (count: number) => `${count < 0 ? '−' : '+'}${inSteps(Math.abs(count))}`;
  const part = ({ driver, adds }: Pick<DriverPart, 'driver' | 'adds'>) =>
    `${amount(steps(adds))} for ${words[driver] ?? driver}`;
  const all = [...named, ...(rest === 0 ? [] : [{ driver: 'spread', adds: rest * step } as const])];
  const moved = all.length === 0 ? 'nothing moves it' : all.map(part).join(', ');
  return `A typical job: ${said(typical)} ${unit}; ${moved}. This one: ${said(shown)} ${unit}.`;
}
