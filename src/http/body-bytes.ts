import { isUtf8 } from 'node:buffer';
import type { Context } from 'hono';
import { limits, UploadCut } from './body-limits.ts';
import type { AppEnv } from './env.ts';
import { statusOf } from './status.ts';

/** The body in pieces as it comes in, cut off past `most` bytes. */
export async function* bodyChunks(c: Context<AppEnv>, most: number = limits.upload): AsyncGenerator<Buffer> {
  if (Number(c.req.header('content-length')) > most) throw tooLarge('The body', most);
  const reader = c.req.raw.body?.getReader();
  let size = 0;
  const next = () => reader?.read().catch(brokenOff);
  for (let piece = await next(); piece && !piece.done; piece = await next()) {
    size += piece.value.byteLength;
    if (size > most) throw tooLarge('The body', most);
    yield Buffer.from(piece.value.buffer, piece.value.byteOffset, piece.value.byteLength);
  }
}

/** One JSON value, the whole body. */
export async function bodyJson(c: Context<AppEnv>): Promise<unknown> {
  const bytes = await wholeBody(c, limits.json);
  if (!isUtf8(bytes)) throw new UploadCut(statusOf.malformed, 'The body is not UTF-8');
  if (bytes.length === 0) throw new UploadCut(statusOf.malformed, 'The body is empty: one JSON object is expected');
  const read = parsedJson(bytes.toString());
  if ('notJson' in read) throw new UploadCut(statusOf.malformed, `The body is ${read.notJson}`);
  return read.value;
}

/** The value of a JSON text, or what a message says of one that is none. */
export function parsedJson(text: string): { readonly value: unknown } | { readonly notJson: string } {
  try {
    return { value: JSON.parse(text) };
  } catch (error) {
    if (!(error instanceof SyntaxError)) throw error;
    // The parser's message repeats what it read: the position is enough, and cannot be long.
    const position = /at position (\d+)/.exec(error.message)?.[1];
    return { notJson: `not JSON${position === undefined ? '' : `, from character ${Number(position) + 1} on`}` };
  }
}

export function tooLarge(what: string, most: number): UploadCut {
  return new UploadCut(statusOf.tooLarge, `${what} is larger than ${most} bytes`);
}

/** A client that went away is no failure of ours. */
function brokenOff(cause: unknown): never {
  throw new UploadCut(statusOf.malformed, `The body broke off: ${cause instanceof Error ? cause.message : 'unread'}`);
}

/** With its length known the body comes in one piece; else it is counted as it comes. */
async function wholeBody(c: Context<AppEnv>, most: number): Promise<Buffer> {
  const declared = Number(c.req.header('content-length'));
  if (declared > 0 && declared <= most) return Buffer.from(await c.req.arrayBuffer());
  const chunks: Buffer[] = [];
  for await (const chunk of bodyChunks(c, most)) chunks.push(chunk);
  return Buffer.concat(chunks);
}
