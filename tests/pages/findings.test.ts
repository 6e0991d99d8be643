import { parse } from 'csv-parse/sync';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { demoShop } from '../../seed/shop.ts';
import type { Role } from '../../src/domain/vocabulary.ts';
import type { UpgradeReport } from '../../src/insight/machines/upgrade.ts';
import { datesInWords } from '../../src/pages/dates-in-words.ts';
import { formatsFor } from '../../src/pages/format.ts';
import { type AppUnderTest, read, type ShopUnderTest, startApp } from '../http/app-under-test.ts';
import { get, type SignedIn, signedIn, textOf } from './pages-under-test.ts';

const demo = demoShop(3, '2025-02-20');
const nJobs = 150;

let app: AppUnderTest;
let shop: ShopUnderTest;
let empty: ShopUnderTest;
let people: Record<Role, SignedIn>;
beforeAll(async () => {
  app = await startApp();
  empty = await app.openShop();
  shop = await app.openShop();
  const key = shop.keys.owner;
  await app.call('PUT', '/v1/technicians', { key, json: demo.technicians });
  await app.call('PUT', '/v1/machines', { key, json: demo.machines });
  const lines = demo.records.slice(-nJobs).map((record) => JSON.stringify(record));
  const headers = { 'Content-Type': 'application/x-ndjson' };
  expect((await app.call('POST', '/v1/records', { key, body: lines.join('\n'), headers })).status).toBe(200);
  const who = (role: Role) => signedIn(app, shop.shopId, role);
  people = { technician: await who('technician'), desk: await who('desk'), owner: await who('owner') };
}, 120_000);
afterAll(() => app.close());

const page = async (path: string, who: SignedIn = people.owner) => {
  const answer = await get(app, path, who.cookie);
  return { status: answer.status, html: await textOf(answer), type: answer.headers.get('content-type') };
};
const report = async <T>(path: string) =>
  read<T>(await app.call('GET', `/v1/reports/${path}`, { key: shop.keys.owner }));

const formats = formatsFor({
  now: new Date('2025-03-05'),
  timeZone: 'Europe/London',
  settings: { units: 'si', currency: 'EUR' },
});
/** The page's sentence, as text. */
const sentence = (html: string) => /<p class="answer">([^<]*)<\/p>/.exec(html)?.[1]?.replaceAll('&#39;', '’') ?? 'none';

const findings = ['quotes', 'comebacks', 'machines', 'wetness'];

describe('contract: the owner’s findings', () => {
  it('begin with the sentence that the interface for programs begins with', async () => {
    for (const name of findings) {
      const { answer } = await report<{ answer: string }>(name);
      const { status, html } = await page(`/findings/${name}`);
      expect(status, name).toBe(200);
      const told = datesInWords(answer, formats);
      expect(told.startsWith(sentence(html)), `${sentence(html)} / ${told}`).toBe(true);
      expect(sentence(html).length, name).toBeGreaterThan(30);
    }
  });

  it('keep a figure and its unit on one line', async () => {
    const html = await (await get(app, '/findings', people.owner.cookie)).text();
    expect(html).toMatch(/\(90\u00A0% range \d+ to \d+\u00A0%\)/);
    expect(html).not.toMatch(/\d %/);
  });

  it('give their numbers as the same CSV', async () => {
    for (const name of findings) {
      const key = shop.keys.owner;
      const asked = await app.call('GET', `/v1/reports/${name}`, { key, headers: { Accept: 'text/csv' } });
      const { html, type } = await page(`/findings/${name}.csv`);
      expect(type).toContain('text/csv');
      expect(parse(html).length, name).toBeGreaterThan(2);
      expect(html, name).toBe(await asked.text());
    }
  });

  it('show each role what the interface for programs shows it', async () => {
    for (const name of [...findings, 'what-to-record'])
      for (const path of [`/findings/${name}`, `/findings/${name}.csv`]) {
        expect((await page(path, people.technician)).status, path).toBe(403);
        expect((await page(path, people.desk)).status, path).toBe(200);
      }
    const { html } = await page('/findings', people.desk);
    for (const name of findings) expect(html).toContain(`href="/findings/${name}"`);
  });

  it('say of a shop without a job that there is nothing to tell yet, and draw no empty picture', async () => {
    const owner = await signedIn(app, empty.shopId, 'owner');
    for (const name of findings) {
      const { status, html } = await page(`/findings/${name}`, owner);
      expect(status, name).toBe(200);
      expect(sentence(html), name).toMatch(/^(No |Only |It takes)/);
      expect(html, name).not.toContain('<svg');
      expect(html, name).not.toMatch(/NaN|undefined|Infinity/);
    }
  });

  it('tell an empty shop what has to be recorded for them', async () => {
    const owner = await signedIn(app, empty.shopId, 'owner');
    const told = {
      machines: 'Choose the extractor with each job',
      wetness: 'whose tanks were read',
      comebacks: 'Recent jobs</a>, with an',
    };
    for (const [name, what] of Object.entries(told))
      expect((await page(`/findings/${name}`, owner)).html).toContain(what);
  });
});

describe('contract: the page of the quotes', () => {
  it('judges by the share that is asked for, and passes it on to the file', async () => {
    const { html } = await page('/findings/quotes?percent%3Anumber=90');
    expect(sentence(html)).toMatch(/^Our quotes are higher than they need be: .* you aim at 90 in 100\.$/);
    expect(html).toContain('wanted 90 %');
    expect(html).toContain('/findings/quotes.csv?percent:number=90');
    const [ninety, ten] = [
      await page('/findings/quotes.csv?percent:number=90'),
      await page('/findings/quotes.csv?percent:number=10'),
    ].map((file) => parse(file.html, { columns: true }) as Record<string, string>[]);
    for (const [i, row] of (ninety ?? []).entries())
      expect(Number(row.hours_to_quote), row.kind).toBeLessThan(Number(ten?.[i]?.hours_to_quote));
  });

  it('says at the field what cannot be asked, and keeps what was typed', async () => {
    for (const typed of ['0', '100', 'few']) {
      const { status, html } = await page(`/findings/quotes?percent:number=${typed}`);
      expect(status).toBe(422);
      expect(html).toContain('id="field-percent-wrong"');
      expect(html).toContain(`value="${typed}"`);
    }
  });

  it('adds up: jobs over by kind are the jobs over', async () => {
    const { byKind, over } = await report<{
      over: number;
      byKind: Record<string, { over: number; standing: string }[]>;
    }>('quotes');
    for (const kinds of Object.values(byKind)) expect(kinds.reduce((sum, one) => sum + one.over, 0)).toBe(over);
    const low = Object.values(byKind)
      .flat()
      .filter(({ standing }) => standing === 'too low').length;
    const { html } = await page('/findings/quotes');
    expect(html.match(/<td[^>]*>too low<\/td>/g) ?? []).toHaveLength(
      low + (sentence(html).includes('too low') ? 1 : 0),
    );
    expect(low).toBeGreaterThan(0);
  });
});

describe('contract: would a better extractor pay', () => {
  const ask = (query: string) => page(`/findings/machines?${query}`);

  it('is answered with the figures of the interface for programs, and a chance by month that ends where they do', async () => {
    const json = { price: 900, grade: 'high', lifeMonths: 48 };
    const told = await read<UpgradeReport>(
      await app.call('POST', '/v1/reports/machines/upgrade', { key: shop.keys.owner, json }),
    );
    const { status, html } = await ask('price:number=900&grade=high&lifeMonths:number=48&replaces=');
    expect(status).toBe(200);
    const said = sentence(html.slice(html.indexOf('id="upgrade"')));
    expect(said.replace('€900.00', '900 EUR')).toBe(told.answer.slice(0, said.replace('€900.00', '900 EUR').length));
    const { chanceBy, chanceNever } = told.payback;
    expect(chanceBy.at(-1)?.chance).toBeCloseTo(1 - chanceNever, 12);
    // As the page rounds: 0.455 is 46 %, where 100 times it is a little less than 45.5.
    const last = new Intl.NumberFormat('en', { style: 'percent' }).format(chanceBy.at(-1)?.chance ?? 0);
    expect(html).toContain(`<th scope="row">48</th><td>${last.replace('%', ' %')}</td>`);
    for (const [i, { chance }] of chanceBy.entries())
      expect(chance).toBeGreaterThanOrEqual(chanceBy[i - 1]?.chance ?? 0);
  });

  it('says at the field what is missing or too much, in the units of the form, and keeps what was typed', async () => {
    const priceless = await ask('price:number=&grade=high');
    expect([priceless.status, priceless.html.includes('id="field-price-wrong"')]).toEqual([422, true]);
    expect((await ask('price:number=900')).html).toContain('Choose its grade, or give its suction or airflow');
    const strong = await ask('price:number=900&waterLiftKpa:kilopascals=400');
    expect(strong.html).toContain('a number above 0, at most 100 kPa');
    expect(strong.html).toContain('value="400"');
  });

  it('compares with the machine that is asked for, and passes it on to the file', async () => {
    const { machines, baseline } = await report<{ baseline: string; machines: { machine: string }[] }>('machines');
    const other = machines.find(({ machine }) => machine !== baseline)?.machine ?? '';
    const { html } = await ask(`baseline=${other}`);
    expect(html).toContain(`<option value="${other}" selected`);
    expect(html).toContain(`/findings/machines.csv?baseline=${other}`);
    expect((await ask('baseline=no-such')).status).toBe(404);
  });
});

describe('contract: the page on water', () => {
  it('says what it is for before it shows anybody’s figures', async () => {
    const { html } = await page('/findings/wetness');
    expect(html.indexOf('employment and privacy rules')).toBeGreaterThan(0);
    expect(html.indexOf('employment and privacy rules')).toBeLessThan(html.indexOf('<svg'));
    expect(html).toContain('What else could explain it');
  });
});

describe('contract: findings in the units of the shop', () => {
  it('write water by the square foot where the shop does, and nothing by the square metre', async () => {
    const { status } = await app.call('PUT', '/v1/settings', { key: shop.keys.owner, json: { units: 'us' } });
    expect(status).toBe(200);
    for (const name of ['comebacks', 'machines']) {
      const { html } = await page(`/findings/${name}`);
      expect(html, name).toContain('fl oz/ft²');
      expect(html, name).not.toContain('L/m²');
    }
  });
});
