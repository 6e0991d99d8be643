import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Role } from '../../src/domain/vocabulary.ts';
import { type AppUnderTest, startApp } from '../http/app-under-test.ts';
import { jobOf, linesOf, openRecordsShop, type RecordsShop } from '../http/records-shop.ts';
import { get, type SignedIn, signedIn, textOf } from './pages-under-test.ts';

let app: AppUnderTest;
let shop: RecordsShop;
let people: Record<Role, SignedIn>;
beforeAll(async () => {
  app = await startApp();
  shop = await openRecordsShop(app);
  const make = (role: Role) => signedIn(app, shop.shopId, role);
  people = { technician: await make('technician'), desk: await make('desk'), owner: await make('owner') };
});
afterAll(() => app.close());

const page = (path: string) => textOf(get(app, path, people.desk.cookie));
const refsIn = (html: string) =>
  [...html.matchAll(/<th scope="row"><a href="[^"]+">([^<]+)<\/a>/g)].map(([, ref]) => ref);
const countIn = (html: string) => /<h2 class="answer">([^<]+)<\/h2>/.exec(html)?.[1];
const linkIn = (html: string, label: string) =>
  new RegExp(`<a href="([^"]+)">${label}</a>`).exec(html)?.[1]?.replaceAll('&amp;', '&') ?? 'no link';

const knit = { area: 'front-seat', fabric: 'knit', soil: 'heavy', method: 'extraction', wetPasses: 2 };

describe('contract: the list of jobs', () => {
  it('says of an empty shop that there is none, and how they come in', async () => {
    const html = await page('/records');
    expect(countIn(html)).toBe('No job is recorded yet.');
    expect(html).toContain('which the owner can take in');
    expect(await (await get(app, '/records', people.owner.cookie)).text()).toContain('<a href="/import">out of');
  });

  it('lists the newest first, finds by each filter and by parts of the ref, and counts both kinds', async () => {
    const records = [
      jobOf('Blue 1/2', { finishedAt: '2025-02-01T10:00:00Z', extractor: 'pump-b' }),
      jobOf('blue 3', { finishedAt: '2025-02-02T10:00:00Z', labour: [{ technician: 'odo', minutes: 90 }] }),
      jobOf('...', { finishedAt: '2025-02-03T10:00:00Z', sections: [{ ...knit, fabric: 'velour', soil: 'light' }] }),
    ];
    await shop.upload(linesOf(records));
    expect(countIn(await page('/records'))).toBe('3 jobs, newest first');
    const found = async (query: string) => refsIn(await page(`/records?${query}`));
    expect(await found('')).toEqual(['...', 'blue 3', 'Blue 1/2']);
    expect(await found('words=BLUE')).toEqual(['blue 3', 'Blue 1/2']);
    expect(await found('words=2+blue&technician=&from=')).toEqual(['Blue 1/2']);
    expect(await found('words=%25')).toEqual([]);
    expect(await found('from=2025-02-02&to=2025-02-02')).toEqual(['blue 3']);
    expect(await found('technician=odo')).toEqual(['blue 3']);
    expect(await found('extractor=pump-b')).toEqual(['Blue 1/2']);
    expect(await found('fabric=velour&soil=light')).toEqual(['...']);
    expect(countIn(await page('/records?technician=odo'))).toBe('1 of 3 jobs, newest first');
    expect(countIn(await page('/records?fabric=velour&soil=severe'))).toBe('None of the 3 jobs is of this kind.');
  });

  it('tells people and machines by name, hours as person-hours, and leads to a job whatever its ref', async () => {
    const html = await page('/records?technician=odo');
    expect(html).toContain(
      '<td class="words" data-label="By">Odo</td><td class="words" data-label="Extractor">Drum A</td>',
    );
    expect(html).toContain('<td data-label="Took">1.5 h</td><td data-label="Quoted">–</td>');
    const html2 = await page('/records');
    expect(html2).toContain('href="/records/job?ref=..."');
    expect(html2).toContain('href="/records/job?ref=Blue+1%2F2"');
  });

  it('goes to older jobs and back, keeping the filter, without showing one twice', async () => {
    const many = Array.from({ length: 120 }, (_, i) =>
      jobOf(`M-${String(i).padStart(3, '0')}`, { finishedAt: new Date(Date.UTC(2025, 0, 1, i)).toISOString() }),
    );
    await shop.upload(linesOf(many));
    const seen: (string | undefined)[] = [];
    let path = '/records?words=M-&from=';
    for (let pages = 0; pages < 3; pages += 1) {
      const html = await page(path);
      expect(countIn(html)).toBe('120 of 123 jobs, newest first');
      seen.push(...refsIn(html));
      path = linkIn(html, 'Older jobs');
      if (pages > 0) expect(linkIn(html, 'Back to the newest')).toBe('/records?words=M-');
    }
    expect(path).toBe('no link');
    expect(seen).toEqual(many.map(({ ref }) => ref).reverse());
  });

  it('says at its field what of a filter cannot be read, and keeps what was typed', async () => {
    const answer = await get(app, '/records?from=yesterday&soil=dirty&words=blue', people.desk.cookie);
    expect(answer.status).toBe(422);
    const html = await answer.text();
    expect(html).toContain('id="field-from-wrong"');
    expect(html).toContain('id="field-soil-wrong"');
    expect(html).toContain('value="blue"');
    expect((await get(app, '/records?words=%00', people.desk.cookie)).status).toBe(422);
    expect((await get(app, '/records?cursor=x', people.desk.cookie)).status).toBe(422);
  });

  it('is for the desk, and shows no job of another shop', async () => {
    expect((await get(app, '/records', people.technician.cookie)).status).toBe(403);
    const other = await signedIn(app, (await app.openShop()).shopId, 'owner');
    expect(countIn(await (await get(app, '/records', other.cookie)).text())).toBe('No job is recorded yet.');
  });
});
