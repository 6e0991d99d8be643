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

/** Whole lines, without their ends. */
async function* splitLines(chunks: AsyncIterable<Buffer>): AsyncGenerator<Buffer[]> {
  let rest: Buffer[] = [];
  let restSize = 0;
  let seen = 0;
  for await (const chunk of chunks) {
    const lines: Buffer[] = [];
    let start = 0;
    for (let end = chunk.indexOf(newline); end >= 0; end = chunk.indexOf(newline, start)) {
      const piece = chunk.subarray(start, end);
      checkSize(restSize + piece.length, seen + lines.length + 1);
      lines.push(restSize > 0 ? Buffer.concat([...rest, piece]) : piece);
      if (restSize > 0) [rest, restSize] = [[], 0];
      start = end + 1;
    }
    if (start < chunk.length) {
      rest.push(chunk.subarray(start));
      restSize += chunk.length - start;
      checkSize(restSize, seen + lines.length + 1);
    }
    seen += lines.length;
    yield lines;
  }
  if (restSize > 0) yield [Buffer.concat(rest)];
}

function checkSize(size: number, line: number): void {
  if (size > limits.line) throw tooLarge(`Line ${line}`, limits.line);
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
