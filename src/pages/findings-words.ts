/** What the owner's pages say of ranges, chances and kinds of job. */
import type { Range } from '../insight/range.ts';
import type { Formats } from './format.ts';

/** A share with its 90 % range: "12 % (8 % to 17 %)". */
export function shareText({ p05, p50, p95 }: Range, formats: Formats): string {
  return `${formats.share(p50)} (${formats.share(p05)} to ${formats.share(p95)})`;
}

/** A factor with its 90 % range: "× 1.21 (1.05 to 1.38)". */
export function factorText({ p05, p50, p95 }: Range, formats: Formats): string {
  return `× ${formats.number(p50, 2)} (${formats.number(p05, 2)} to ${formats.number(p95, 2)})`;
}

/** A figure with its 90 % range and its unit once: "3.1 (2.8 to 3.5) h". */
export function rangeText({ p05, p50, p95 }: Range, write: (value: number) => string, unit = ''): string {
  return `${write(p50)} (${write(p05)} to ${write(p95)})${unit && ` ${unit}`}`;
}

/** The same of a difference, each with its sign. */
export function differenceText(range: Range, formats: Formats, digits: number, unit: string): string {
  return rangeText(range, (value) => signed(value, digits, formats), unit);
}

/** "+0.25" or "−0.25", by the minus of print. */
export function signed(value: number, digits: number, formats: Formats): string {
  return withSign(value, (size) => formats.number(size, digits));
}

/** The same of what is written otherwise, as money; what is written as nothing has no sign. */
export function withSign(value: number, write: (size: number) => string): string {
  const size = write(Math.abs(value));
  return size === write(0) ? size : `${value < 0 ? '−' : '+'}${size}`;
}

/** A chance from draws is never quite none or certain. */
export function chanceText(chance: number, formats: Formats): string {
  if (chance > 0.99) return `more than ${formats.share(0.99)}`;
  return chance < 0.01 ? `less than ${formats.share(0.01)}` : formats.share(chance);
}

/** What all these pages mean by a range. */
export const ninetyPercent = 'Ranges hold nine times in ten.';
