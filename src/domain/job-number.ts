/** What stands before the digits at the end of a job number: "T-" of "T-0754". */
export function prefixOf(ref: string): string {
  return ref.replace(/\d+$/, '');
}

/** The next job number, as wide as this one; undefined where it does not end in digits, or in too many. */
export function numberAfter(ref: string, steps = 1): string | undefined {
  const digits = ref.slice(prefixOf(ref).length);
  if (digits === '' || digits.length > 15) return undefined;
  return prefixOf(ref) + String(BigInt(digits) + BigInt(steps)).padStart(digits.length, '0');
}
