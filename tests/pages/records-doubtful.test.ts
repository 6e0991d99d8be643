import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { computeFit } from '../../jobs/compute-fit.ts';
import { runShop } from '../../jobs/run-shop.ts';
import { defaultShopSettings } from '../../src/domain/shop-settings.ts';
import type { Role } from '../../src/domain/vocabulary.ts';
import { inShop } from '../../src/store/shop-scope.ts';
import { replaceShopSettings } from '../../src/store/shops.ts';
import { type AppUnderTest, startApp } from '../http/app-under-test.ts';
import { jobOf, linesOf, openRecordsShop, type RecordsShop, read } from '../http/records-shop.ts';
import { get, post, type SignedIn, signedIn, textOf } from './pages-under-test.ts';

let app: AppUnderTest;
let shop: RecordsShop;
let people: Record<Role, SignedIn>;

/** Jobs alike, but for one with minutes typed as hours and one that got back more than it sprayed. */
const slip = 'S/7';
const odd = 'S-8';
const jobs = Array.from({ length: 30 }, (_, i) =>
  jobOf(i === 7 ? slip : `S-${i}`, {
    finishedAt: new Date(Date.UTC(2025, 0, 1 + i, 15)).toISOString(),
    labour: [{ technician: i % 2 === 0 ? 'mira' : 'odo', minutes: (i === 7 ? 60 : 1) * (40 + (i % 5)) }],
    sprayedLitres: 6,
    recoveredLitres: i === 8 ? 7 : 4.5 + (i % 3) / 4,
  }),
);
beforeAll(async () => {
  app = await startApp();
  shop = await openRecordsShop(app);
  const make = (role: Role) => signedIn(app, shop.shopId, role);
  people = { technician: await make('technician'), desk: await make('desk'), owner: await make('owner') };
  await shop.upload(linesOf(jobs));
});
afterAll(() => app.close());

const page = () => textOf(get(app, '/records/doubtful', people.desk.cookie));
const night = () =>
  runShop(
    { db: app.db, now: () => new Date(), compute: async (material) => computeFit(material) },
    shop.shopId,
    randomUUID(),
  );
const confirm = (ref: string, by: SignedIn) => post(app, '/records/doubtful/confirm', { ref }, by);
const cardOf = (html: string, ref: string) =>
  html.split('<li><h2>').find((card) => card.includes(`>Job ${ref}</a>`)) ?? 'no card';

describe('contract: doubtful jobs', () => {
  it('says that there is none before a night has run', async () => {
    expect(await page()).toContain('none has been read yet');
  });

  it('tells each with what was to be expected, in the units of the shop, and the ways that there are', async () => {
    await night();
    const html = await page();
    expect(cardOf(html, slip)).toMatch(/42 h of work; \d+ min to \d.*? was to be expected in 9 of 10 such jobs\./);
    expect(cardOf(html, slip)).toContain('href="/records/job/mend?ref=S%2F7"');
    expect(cardOf(html, slip)).toContain('It was so');
    expect(cardOf(html, odd)).toContain('More water got back than was sprayed.');
    expect(cardOf(html, odd)).not.toContain('It was so');
    const refused = await confirm(odd, people.desk);
    expect(refused.status).toBe(409);
    const why = await refused.text();
    expect(why).toContain('Job S-8 can only be mended');
    expect(why).toContain('href="/records/job/mend?ref=S-8"');
  });

  it('is confirmed by the desk as a person, and told', async () => {
    expect((await confirm(slip, people.technician)).status).toBe(403);
    expect((await get(app, '/records/doubtful', people.technician.cookie)).status).toBe(403);
    const other = await signedIn(app, (await app.openShop()).shopId, 'owner');
    expect((await confirm(slip, other)).status).toBe(404);
    expect((await confirm('none', people.desk)).status).toBe(404);
    const answer = await confirm(slip, people.desk);
    expect(answer.headers.get('location')).toBe('/records/doubtful?confirmed=S%2F7');
    const html = await (await get(app, answer.headers.get('location') ?? '', people.desk.cookie)).text();
    expect(html).toContain('Job S/7 is confirmed.');
    expect(cardOf(html, slip)).toContain('It was confirmed since');
    const by = await inShop(app.db, shop.shopId, ({ sql }) => sql`select key_id from job_confirmation`);
    expect(by).toMatchObject([{ key_id: people.desk.personId }]);
    await night();
    expect(cardOf(await page(), slip)).toBe('no card');
  });

  it('tells water in the units that the shop has set', async () => {
    const far = { ...jobs[3], ref: 'S-far', sprayedLitres: 90, recoveredLitres: 5 };
    expect((await shop.post(far)).status).toBe(201);
    await night();
    const { records } = await read<{ records: { ref: string; doubts: { seen: number }[] }[] }>(
      await shop.get('/reports/doubtful'),
    );
    const seen = records.find(({ ref }) => ref === 'S-far')?.doubts[0]?.seen ?? Number.NaN;
    expect(cardOf(await page(), 'S-far')).toContain(`${seen.toFixed(2)} L/m² of water left in`);
    await inShop(app.db, shop.shopId, (tx) => replaceShopSettings(tx, { ...defaultShopSettings, units: 'us' }));
    // 1 L is 33.814 US fluid ounces, 1 m² 10.7639 square feet (NIST Handbook 44, appendix C).
    expect(cardOf(await page(), 'S-far')).toContain(`${((seen * 33.814) / 10.7639).toFixed(2)} fl oz/ft²`);
  });
});
