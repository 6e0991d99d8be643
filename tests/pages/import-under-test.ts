import { expect } from 'vitest';
import type { AppUnderTest } from '../http/app-under-test.ts';
import { get, post } from './pages-under-test.ts';

type As = { readonly cookie: string };

/** Sends a file as a browser does; the address of its pages, or the page that refused it. */
export async function sendFile(
  app: AppUnderTest,
  { cookie }: As,
  name: string,
  content: string | Buffer,
  status = 303,
): Promise<string> {
  const form = new FormData();
  form.set('file', new File([new Uint8Array(Buffer.from(content))], name, { type: 'text/csv' }));
  const sent = new Response(form);
  const headers = {
    Accept: 'text/html',
    'Content-Type': sent.headers.get('content-type') ?? '',
    'Sec-Fetch-Site': 'same-origin',
    Cookie: cookie,
  };
  const answer = await app.call('POST', '/import', { bytes: Buffer.from(await sent.arrayBuffer()), headers });
  expect(answer.status).toBe(status);
  return status === 303 ? (answer.headers.get('location') ?? '').replace('/columns', '') : answer.text();
}

/** Sends a step's form as it came, but for what is changed. */
export async function choose(
  app: AppUnderTest,
  as: As,
  base: string,
  step: 'columns' | 'values',
  changed: Readonly<Record<string, string>>,
): Promise<Response> {
  const html = await (await get(app, `${base}/${step}`, as.cookie)).text();
  return post(app, `${base}/${step}`, { ...fieldsOf(html), ...changed }, as);
}

/** What the fields of a page's form would send. */
export function fieldsOf(html: string): Record<string, string> {
  const main = html.slice(html.indexOf('<main'));
  const fields: Record<string, string> = {};
  for (const [, attributes = '', options = ''] of main.matchAll(/<select([^>]*)>(.*?)<\/select>/gs))
    fields[nameIn(attributes)] = plain(
      /<option value="([^"]*)" selected/.exec(options)?.[1] ?? /<option value="([^"]*)"/.exec(options)?.[1] ?? '',
    );
  for (const [, attributes = ''] of main.matchAll(/<input([^>]*)\/?>/g)) {
    const value = /value="([^"]*)"/.exec(attributes)?.[1] ?? '';
    if (/type="radio"/.test(attributes) && !/checked/.test(attributes)) continue;
    if (nameIn(attributes) !== '') fields[nameIn(attributes)] = plain(value);
  }
  return fields;
}

const nameIn = (attributes: string) => / name="([^"]*)"/.exec(attributes)?.[1] ?? '';

function plain(text: string): string {
  return text
    .replaceAll('&quot;', '"')
    .replaceAll('&#39;', "'")
    .replaceAll('&lt;', '<')
    .replaceAll('&gt;', '>')
    .replaceAll('&amp;', '&');
}
