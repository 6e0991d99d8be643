/** What an estimate says, in sentences: every figure with its unit, its range and where it comes from. */
import type { GivenEstimate, Quantiles } from '../insight/given-estimate.ts';
import type { Formats } from './format.ts';

/** The middle 8 of 10: "2.9 to 4.1 h". */
export function eightOfTen({ p10, p90 }: Pick<Quantiles, 'p10' | 'p90'>, formats: Formats): string {
  const digits = p90 < 10 ? 1 : 0;
  return `${formats.number(p10, digits)} to ${formats.number(p90, digits)} h`;
}

/** How much of a figure is the shop's own: "97% our own jobs, 3% rule of thumb". */
export function originOf({ evidenceShare }: { readonly evidenceShare: number }, formats: Formats): string {
  const own = Math.round(evidenceShare * 100) / 100;
  if (own === 0) return 'rule of thumb alone';
  return `${formats.share(own)} our own jobs, ${formats.share(1 - own)} rule of thumb`;
}

/** 0.2 is "1 in 5"; what is no such number is "23 in 100". */
export function oneIn(chance: number): string {
  const times = 1 / chance;
  const whole = Math.round(times);
  return Math.abs(times - whole) < 0.02 * whole ? `1 in ${whole}` : `${Math.round(chance * 100)} in 100`;
}

/** The estimate in one line: what is said first, and read out as it changes. */
export function inOneLine({ quote, labourHours, readyBy }: GivenEstimate, formats: Formats): string {
  const work = `${formats.money(quote.price)}, ${eightOfTen(labourHours, formats)} of work`;
  return readyBy === null ? `${work}.` : `${work}, ready by ${promise(readyBy, formats)}.`;
}

/** The time that nine such jobs of ten keep, rounded up to the quarter of an hour, which only makes it safer. */
export function promise({ p90 }: { readonly p90: string }, formats: Formats): string {
  return formats.dateTime(quarterUp(p90));
}

export function quarterUp(instant: string): Date {
  return new Date(Math.ceil(Date.parse(instant) / quarterMs) * quarterMs);
}

export function quarterDown(instant: string): Date {
  return new Date(Math.floor(Date.parse(instant) / quarterMs) * quarterMs);
}

const quarterMs = 900_000;
