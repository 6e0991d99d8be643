import { describe, expect, it } from 'vitest';
import { paybackMonths } from '../../src/insight/machines/payback.ts';

/** By hand, cash flow by cash flow: what is still owed after each month's saving, the debt growing by the monthly rate. */
function byHand(saving: number, price: number, discountPerYear: number, lifeMonths: number): number {
  const rate = (1 + discountPerYear) ** (1 / 12) - 1;
  let owed = price;
  for (let month = 1; month <= lifeMonths; month++) {
    owed = owed * (1 + rate) - saving;
    if (owed <= 1e-9) return month;
  }
  return Number.POSITIVE_INFINITY;
}

describe('identity: months to pay back (closed form against the cash flow, worked in the test)', () => {
  it('is 10 months for 2,400 at 240 a month: 2400, 2160, … 240, 0', () => {
    expect(paybackMonths(240, { price: 2400, lifeMonths: 60, discountPerYear: 0 })).toBe(10);
  });

  it('needs the month that completes it', () => {
    expect(paybackMonths(250, { price: 2400, lifeMonths: 60, discountPerYear: 0 })).toBe(10);
    expect(paybackMonths(239, { price: 2400, lifeMonths: 60, discountPerYear: 0 })).toBe(11);
  });

  it.each([
    [100, 2400, 0.08],
    [75, 2400, 0.12],
    [61.5, 3200, 0.03],
  ])('follows the cash flow with discounting (%d a month, price %d, %d a year)', (saving, price, discountPerYear) => {
    const purchase = { price, lifeMonths: 120, discountPerYear };
    expect(paybackMonths(saving, purchase)).toBe(byHand(saving, price, discountPerYear, 120));
  });

  it('is never where nothing is saved, where something is lost, where interest eats it, and past the machine’s life', () => {
    const purchase = { price: 2400, lifeMonths: 24, discountPerYear: 0 };
    expect(paybackMonths(0, purchase)).toBe(Number.POSITIVE_INFINITY);
    expect(paybackMonths(-20, purchase)).toBe(Number.POSITIVE_INFINITY);
    expect(paybackMonths(10, { ...purchase, lifeMonths: 600, discountPerYear: 0.12 })).toBe(Number.POSITIVE_INFINITY);
    expect(paybackMonths(99, purchase)).toBe(Number.POSITIVE_INFINITY);
    expect(paybackMonths(100, purchase)).toBe(24);
  });

  it('is at once for a machine that costs nothing', () => {
    expect(paybackMonths(0, { price: 0, lifeMonths: 24, discountPerYear: 0 })).toBe(0);
  });
});
