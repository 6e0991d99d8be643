/** A running 64-bit fingerprint of texts, FNV-1a in two halves: tells whether a month's past is what it was, guards against nothing. */
export interface Fingerprint {
  readonly high: number;
  readonly low: number;
}

export const noText: Fingerprint = { high: 0xcbf29ce4, low: 0x84222325 };

export function withText(before: Fingerprint, text: string): Fingerprint {
  let { high, low } = before;
  for (let i = 0; i < text.length; i++) {
    const code = text.charCodeAt(i);
    low = Math.imul(low ^ code, 0x01000193);
    high = Math.imul(high ^ (code + (low >>> 16)), 0x01000193);
  }
  return { high, low };
}

export function fingerprintText({ high, low }: Fingerprint): string {
  const hex = (half: number) => (half >>> 0).toString(16).padStart(8, '0');
  return hex(high) + hex(low);
}
