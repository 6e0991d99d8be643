/** Money in and out of buying a machine. */
export interface Purchase {
  readonly price: number;
  /** Months after which it is worn out and worth nothing. */
  readonly lifeMonths: number;
  /** Yearly rate at which later money counts less; 0 for none. */
  readonly discountPerYear: number;
}

/**
 * Months until the savings have paid for the machine; Infinity where they never do within its life.
 * Savings come at each month's end: with monthly rate r the sum of n of them is s (1 − (1 + r)^−n) / r, and n solves it for the price.
 *
 * **Units** money of one currency; months, whole where money is counted month by month: the last saving completes it.
 */
export function paybackMonths(savingPerMonth: number, { price, lifeMonths, discountPerYear }: Purchase): number {
  if (price <= 0) return 0;
  if (savingPerMonth <= 0) return Number.POSITIVE_INFINITY;
  const rate = (1 + discountPerYear) ** (1 / 12) - 1;
  const months = Math.ceil(exactMonths(price / savingPerMonth, rate) - 1e-9);
  return months <= lifeMonths ? months : Number.POSITIVE_INFINITY;
}

function exactMonths(ratio: number, rate: number): number {
  if (rate === 0) return ratio;
  const left = 1 - ratio * rate;
  return left <= 0 ? Number.POSITIVE_INFINITY : -Math.log(left) / Math.log1p(rate);
}
