import type { Context } from 'hono';
import { UploadCut } from './body-limits.ts';
import type { AppEnv } from './env.ts';
import { statusOf } from './status.ts';

/** Which of the media types the body is sent as; all text is UTF-8 and not compressed. */
export function mediaTypeOf<T extends string>(c: Context<AppEnv>, taken: readonly T[]): T {
  const header = c.req.header('content-type') ?? '';
  const [type = '', ...parameters] = header.split(';').map((part) => part.trim().toLowerCase());
  const media = taken.find((one) => one === type);
  if (media === undefined) throw unsupported(`Content-Type is ${JSON.stringify(header)}: one of ${taken.join(', ')}`);
  const charset = parameters.find((parameter) => parameter.startsWith('charset='))?.replace(/^charset=|"/g, '');
  if (charset !== undefined && charset !== 'utf-8' && charset !== 'utf8')
    throw unsupported(`The charset is ${JSON.stringify(charset)}: only utf-8 is taken`);
  const encoding = c.req.header('content-encoding') ?? 'identity';
  if (encoding !== 'identity') throw unsupported(`Content-Encoding is ${JSON.stringify(encoding)}: send it plain`);
  return media;
}

function unsupported(detail: string): UploadCut {
  return new UploadCut(statusOf.unsupportedMediaType, detail);
}
