/** Digits behind the point that a currency is counted in: 2 for EUR, 0 for JPY. */
export function minorDigits(currency: string): number {
  const known = digitsOf.get(currency);
  if (known !== undefined) return known;
  const { maximumFractionDigits } = new Intl.NumberFormat('en', { style: 'currency', currency }).resolvedOptions();
  digitsOf.set(currency, maximumFractionDigits ?? 2);
  return maximumFractionDigits ?? 2;
}

/** A formatter takes longer to make than a whole estimate's arithmetic may. */
const digitsOf = new Map<string, number>();

/** An amount to the smallest coin of its currency. */
export function roundMoney(amount: number, currency: string): number {
  return roundTo(amount, minorDigits(currency));
}

/** Half away from zero, on the decimal digits as they are written: 1.005 gives 1.01. */
export function roundTo(value: number, digits: number): number {
  const [mantissa, exponent = '0'] = value.toString().split('e');
  return Number(`${Math.round(Number(`${mantissa}e${Number(exponent) + digits}`))}e${-digits}`);
}
