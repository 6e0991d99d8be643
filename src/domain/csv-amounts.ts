import type { Measured } from './csv-targets.ts';
import {
  celsiusOfFahrenheit,
  fahrenheitOfCelsius,
  litresPerUsFluidOunce,
  litresPerUsGallon,
  metresPerSecondPerMph,
  squareMetresPerSquareFoot,
} from './units.ts';

export type Decimal = 'point' | 'comma';

interface Unit {
  readonly name: string;
  readonly toOurs?: (value: number) => number;
  readonly fromOurs?: (value: number) => number;
}

const times = (name: string, factor: number): Unit => ({
  name,
  toOurs: (value) => value * factor,
  fromOurs: (value) => value / factor,
});

/** The units that each kind of column may hold; the first is ours. */
export const unitsOf: Readonly<Record<Measured, readonly [Unit, ...Unit[]]>> = {
  litres: [
    { name: 'L' },
    times('mL', 0.001),
    times('US gal', litresPerUsGallon),
    times('US fl oz', litresPerUsFluidOunce),
  ],
  surface: [{ name: 'm²' }, times('sq ft', squareMetresPerSquareFoot)],
  temperature: [{ name: '°C' }, { name: '°F', toOurs: celsiusOfFahrenheit, fromOurs: fahrenheitOfCelsius }],
  speed: [{ name: 'm/s' }, times('mph', metresPerSecondPerMph), times('km/h', 1 / 3.6)],
  minutes: [{ name: 'minutes' }, times('hours', 60)],
  hours: [{ name: 'hours' }, times('minutes', 1 / 60)],
};

/** The cell's number in our unit, as a cell of ours; what is no number stays as it is, for the rules to name. */
export function amountText(cell: string, { measured, unit, decimal }: AmountForm): string {
  const number = readAmount(cell, decimal);
  const { toOurs } = (measured && unitOf(measured, unit)) ?? {};
  const clock = measured === 'minutes' || measured === 'hours' ? clockMinutes(cell) : undefined;
  if (clock !== undefined) return String(measured === 'minutes' ? clock : clock / 60);
  if (number === undefined) return cell;
  return toOurs || String(number) !== cell.trim() ? String(toOurs ? tidy(toOurs(number)) : number) : cell;
}

/** The unit of that name; undefined where none is chosen. */
export function unitOf(measured: Measured, unit: string | undefined): Unit | undefined {
  return unitsOf[measured].find(({ name }) => name === unit);
}

interface AmountForm {
  readonly measured?: Measured | undefined;
  readonly unit?: string | undefined;
  readonly decimal: Decimal;
}

/** A number with or without a unit, a currency or a per cent sign about it; 20:1 is 20. */
export function readAmount(cell: string, decimal: Decimal): number | undefined {
  const ratio = /^\s*(?:(\d+(?:[.,]\d+)?)\s*:\s*1|1\s*:\s*(\d+(?:[.,]\d+)?))\s*$/.exec(cell);
  const bare = ratio ? (ratio[1] ?? ratio[2] ?? '') : cell.replace(signsAbout, '');
  const plain = decimal === 'point' ? withoutGroups(bare, ',') : withoutGroups(bare, '.').replace(',', '.');
  return /^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i.test(plain) ? Number(plain) : undefined;
}

/** Up to a word of a unit behind the number, and signs of money or the apostrophe of a guarded cell before it. */
const signsAbout = /^\s*'?\s*\p{Sc}?\s*|\s*(\p{Sc}|%|°?\s?[A-Za-z][A-Za-z²³. ]{0,12})?\s*$/gu;

/** Thousands stand in threes; anything else between digits is left, and then the cell is no number. */
function withoutGroups(text: string, sign: ',' | '.'): string {
  const grouped = sign === ',' ? /^[+-]?\d{1,3}(,\d{3})+(\.\d*)?$/ : /^[+-]?\d{1,3}(\.\d{3})+(,\d*)?$/;
  return grouped.test(text) ? text.replaceAll(sign, '') : text;
}

/** 1:45 is an hour and three quarters. */
function clockMinutes(cell: string): number | undefined {
  const [, hours, minutes] = /^\s*(\d{1,3}):([0-5]\d)(?::00)?\s*$/.exec(cell) ?? [];
  return hours === undefined ? undefined : Number(hours) * 60 + Number(minutes);
}

/** Unit factors leave tails of rounding far below what anybody measures. */
export function tidy(value: number): number {
  return Number(value.toPrecision(12));
}
