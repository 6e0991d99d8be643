import { isUtf8 } from 'node:buffer';
import { faultSaying } from '../domain/faults.ts';
import { parsedJson, tooLarge } from './body-bytes.ts';
import { limits } from './body-limits.ts';
import type { Sent } from './records-upload.ts';

/** The records of an NDJSON body, as many at a time as one piece of it holds; never more than that is kept. */
export async function* ndjsonRecords(chunks: AsyncIterable<Buffer>): AsyncGenerator<Sent[]> {
  let line = 0;
  for await (const lines of splitLines(chunks)) {
    const sent: Sent[] = [];
    for (const bytes of lines) {
      line += 1;
      const one = recordOf(line === 1 ? withoutMark(bytes) : bytes, line);
      if (one) sent.push(one);
    }
    yield sent;
  }
}

const newline = 10;

/** Whole lines, without their ends; those before one that is too long still come. */
async function* splitLines(chunks: AsyncIterable<Buffer>): AsyncGenerator<Buffer[]> {
  const rest = new Rest();
  let seen = 0;
  for await (const chunk of chunks) {
    const lines: Buffer[] = [];
    let start = 0;
    for (let end = chunk.indexOf(newline); end >= 0; end = chunk.indexOf(newline, start)) {
      const line = rest.endedBy(chunk.subarray(start, end));
      if (line.length > limits.line) {
        yield lines;
        throw tooLarge(`Line ${seen + lines.length + 1}`, limits.line);
      }
      lines.push(line);
      start = end + 1;
    }
    yield lines;
    seen += lines.length;
    if (rest.add(chunk.subarray(start)) > limits.line) throw tooLarge(`Line ${seen + 1}`, limits.line);
  }
  yield [rest.endedBy(Buffer.alloc(0))];
}

/** The beginning of a line whose end has not come yet. */
class Rest {
  #pieces: Buffer[] = [];
  #size = 0;

  /** Gives the size so far. */
  add(piece: Buffer): number {
    if (piece.length > 0) this.#pieces.push(piece);
    this.#size += piece.length;
    return this.#size;
  }

  endedBy(piece: Buffer): Buffer {
    if (this.#size === 0) return piece;
    const line = Buffer.concat([...this.#pieces, piece]);
    this.#pieces = [];
    this.#size = 0;
    return line;
  }
}

function recordOf(bytes: Buffer, line: number): Sent | undefined {
  if (!isUtf8(bytes)) return { line, input: undefined, faults: [faultSaying([], 'this line is not UTF-8')] };
  const text = bytes.toString();
  if (text.trim() === '') return undefined;
  const read = parsedJson(text);
  if ('notJson' in read) return { line, input: undefined, faults: [faultSaying([], `this line is ${read.notJson}`)] };
  return { line, input: read.value, faults: [] };
}

function withoutMark(bytes: Buffer): Buffer {
  return bytes[0] === 0xef && bytes[1] === 0xbb && bytes[2] === 0xbf ? bytes.subarray(3) : bytes;
}
