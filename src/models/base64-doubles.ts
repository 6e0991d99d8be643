/** Doubles as base64 of their little-endian bytes: exact, and a third of the length of their decimal digits. */
export function encodeDoubles(values: Float64Array): string {
  const bytes = littleEndian(new Uint8Array(values.buffer, values.byteOffset, values.byteLength).slice());
  let text = '';
  for (let i = 0; i < bytes.length; i += chunk) text += String.fromCharCode(...bytes.subarray(i, i + chunk));
  return btoa(text);
}

/** Throws RangeError where the text is not whole doubles in base64. */
export function decodeDoubles(text: string): Float64Array {
  const binary = binaryOf(text);
  if (binary.length % 8 !== 0) throw new RangeError(`${binary.length} bytes are no whole number of doubles`);
  const bytes = new Uint8Array(binary.length);
  for (let i = 0; i < bytes.length; i++) bytes[i] = binary.charCodeAt(i);
  return new Float64Array(littleEndian(bytes).buffer);
}

/** Arguments of one call at most; engines refuse very long lists. */
const chunk = 8192;

const isLittleEndian = new Uint8Array(new Uint16Array([1]).buffer)[0] === 1;

/** In place, on machines of the other byte order. */
function littleEndian(bytes: Uint8Array<ArrayBuffer>): Uint8Array<ArrayBuffer> {
  if (!isLittleEndian) for (let i = 0; i < bytes.length; i += 8) bytes.subarray(i, i + 8).reverse();
  return bytes;
}

function binaryOf(text: string): string {
  try {
    return atob(text);
  } catch (cause) {
    throw new RangeError('not base64', { cause });
  }
}
