/** A number by the minus of print, as wide as a digit; what rounds to zero has none. */
export function printed(value: number, digits: number): string {
  const size = Math.abs(value).toFixed(digits);
  return value < 0 && Number(size) !== 0 ? `−${size}` : size;
}

/** The same with a plus: a difference. No difference has no sign. */
export function printedDifference(value: number, digits: number): string {
  const text = printed(value, digits);
  return value > 0 && Number(text) !== 0 ? `+${text}` : text;
}
