import type { ShopSettings } from '../domain/shop-settings.ts';
import { zonedDay } from '../domain/zoned-time.ts';
import { measureOf, type Quantity, type Units } from './measures.ts';

/** Everything that pages write of numbers and times: one shop, one reader. */
export interface Formats {
  readonly units: Units;
  readonly currency: string;
  number(value: number, digits?: number): string;
  /** A share of 1 as a percentage: 0.25 is "25 %". */
  share(value: number, digits?: number): string;
  money(value: number): string;
  /** Hours as a clock tells them: 3.5 is "3 h 30 min". */
  hours(value: number): string;
  /** A quantity in the shop's units, with the unit: "4.2 L" or "1.11 gal". */
  quantity(quantity: Quantity, si: number): string;
  /** From one figure to another, the unit once where it can be: "3.1 to 4.6 L". */
  quantityRange(quantity: Quantity, low: number, high: number): string;
  /** "3 March 2025" */
  date(instant: Date): string;
  /** A day of the calendar, which is that day in every zone: 2025-03-03 is "3 March 2025" */
  day(day: string): string;
  /** "Mon 3 Mar", and the year where it is not this one. */
  dayShort(instant: Date): string;
  /** "14:30" */
  time(instant: Date): string;
  /** "Mon 3 Mar, 14:30", and the year where it is not this one. */
  dateTime(instant: Date): string;
  /** What a form's clock shows, without a zone: 2025-03-03T14:30 is "3 March 2025 at 14:30"; what is no such time stays as it is. */
  clock(local: string): string;
  /** For a script that goes on writing what `clock` began. */
  readonly locale: string;
}

interface FormatNeeds {
  readonly acceptLanguage?: string | undefined;
  /** The year that goes without saying is that of this moment. */
  readonly now: Date;
  readonly timeZone: string;
  readonly settings: Pick<ShopSettings, 'units' | 'currency'>;
}

/**
 * Formats for a shop's pages in its zone, units and currency. The pages speak English, so figures follow the English
 * that the browser asks for; where it asks for none, that of the shop's units.
 */
export function formatsFor({ acceptLanguage, now, timeZone, settings: { units, currency } }: FormatNeeds): Formats {
  const locale = englishOf(acceptLanguage) ?? (units === 'us' ? 'en-US' : 'en-GB');
  const thisYear = yearOf(now, timeZone);
  const key = [locale, timeZone, units, currency, thisYear].join(' ');
  const made = known.get(key) ?? makeFormats({ locale, timeZone, units, currency, thisYear });
  known.delete(key);
  known.set(key, made);
  if (known.size > mostKnown) known.delete(known.keys().next().value ?? key);
  return made;
}

/** Intl's formatters take longer to make than a page may; those of the shops seen last are kept. */
const known = new Map<string, Formats>();
const mostKnown = 200;

function englishOf(acceptLanguage: string | undefined): string | undefined {
  return /(?:^|[,\s])(en-[A-Z]{2})\b/.exec(acceptLanguage ?? '')?.[1];
}

interface Kind {
  readonly locale: string;
  readonly timeZone: string;
  readonly units: Units;
  readonly currency: string;
  readonly thisYear: string;
}

function makeFormats({ locale, timeZone, units, currency, thisYear }: Kind): Formats {
  const byDigits = new Map<number, Intl.NumberFormat>();
  const number = (value: number, digits = 0) => {
    // "negative": what rounds to nothing has no sign.
    const options = { minimumFractionDigits: digits, maximumFractionDigits: digits, signDisplay: 'negative' } as const;
    const format = byDigits.get(digits) ?? new Intl.NumberFormat(locale, options);
    byDigits.set(digits, format);
    return format.format(value).replace('-', '−'); // the minus of print, as wide as a digit
  };
  const coins = new Intl.NumberFormat(locale, { style: 'currency', currency, signDisplay: 'negative' });
  const zoned = (options: Intl.DateTimeFormatOptions) => new Intl.DateTimeFormat(locale, { timeZone, ...options });
  const clock = { hour: '2-digit', minute: '2-digit' } as const;
  const day = { weekday: 'short', day: 'numeric', month: 'short' } as const;
  const long = zoned({ day: 'numeric', month: 'long', year: 'numeric' });
  const time = zoned(clock);
  const inYear = (options: Intl.DateTimeFormatOptions) => {
    const [bare, full] = [zoned(options), zoned({ ...options, year: 'numeric' })];
    return (instant: Date) => (yearOf(instant, timeZone) === thisYear ? bare : full).format(instant);
  };
  const ofDay = new Intl.DateTimeFormat(locale, { timeZone: 'UTC', dateStyle: 'long' });
  const ofClock = new Intl.DateTimeFormat(locale, { timeZone: 'UTC', dateStyle: 'long', timeStyle: 'short' });
  const bare = (quantity: Quantity, si: number) => {
    const { digits, fromSi } = measureOf(quantity, units);
    return number(fromSi(si), digits);
  };
  const unitOf = (quantity: Quantity) => measureOf(quantity, units).unit;
  return {
    units,
    currency,
    number,
    share: (value, digits) => `${number(value * 100, digits)} %`,
    money: (value) => coins.format(value),
    hours: (value) => clockHours(value, number),
    quantity: (quantity, si) => `${bare(quantity, si)} ${unitOf(quantity)}`,
    quantityRange: (quantity, low, high) => `${bare(quantity, low)} to ${bare(quantity, high)} ${unitOf(quantity)}`,
    date: (instant) => long.format(instant),
    day: (day) => ofDay.format(new Date(`${day}T00:00:00Z`)),
    dayShort: inYear(day),
    time: (instant) => time.format(instant),
    dateTime: inYear({ ...day, ...clock }),
    clock: (local) => (isClock.test(local) ? ofClock.format(new Date(`${local}Z`)) : local),
    locale,
  };
}

function yearOf(instant: Date, timeZone: string): string {
  return zonedDay(instant, timeZone).slice(0, 4);
}

const isClock = /^\d{4}-(0[1-9]|1[0-2])-(0[1-9]|[12]\d|3[01])T([01]\d|2[0-3]):[0-5]\d$/;

function clockHours(value: number, number: (value: number) => string): string {
  const minutes = Math.round(value * 60);
  const [hours, rest] = [Math.trunc(minutes / 60), Math.abs(minutes % 60)];
  if (hours === 0) return `${number(minutes)} min`;
  return rest === 0 ? `${number(hours)} h` : `${number(hours)} h ${number(rest)} min`;
}
