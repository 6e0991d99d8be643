import type { Range } from '../insight/range.ts';
import type { Interval } from './interval-figure.tsx';

/** A figure with its 90 % range: "3.4 h (3.1 to 3.8)". */
export function withRange({ p05, p50, p95 }: Range, write: (value: number) => string): string {
  return `${write(p50)} (${write(p05)} to ${write(p95)})`;
}

export function intervalOf(label: string, { p05, p50, p95 }: Range): Interval {
  return { label, low: p05, middle: p50, high: p95 };
}

/** What all these pages mean by a range. */
export const ninetyPercent = 'Ranges hold nine times in ten.';
