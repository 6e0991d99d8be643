import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { csvMapping } from '../../src/domain/csv-mapping.ts';
import type { CsvProfile } from '../../src/domain/csv-profile.ts';
import type { Role } from '../../src/domain/vocabulary.ts';
import { ImportRuns } from '../../src/http/import-runs.ts';
import { changeImport, dropOldImports, readImport } from '../../src/store/imports.ts';
import { putTechnicians } from '../../src/store/lists.ts';
import { readRecord } from '../../src/store/records.ts';
import { inShop } from '../../src/store/shop-scope.ts';
import { type AppUnderTest, now, startApp } from '../http/app-under-test.ts';
import { choose, fieldsOf, sendFile } from './import-under-test.ts';
import { get, post, type SignedIn, signedIn } from './pages-under-test.ts';

let app: AppUnderTest;
let shopId: string;
let people: Record<Role, SignedIn>;
beforeAll(async () => {
  app = await startApp();
  shopId = (await app.openShop()).shopId;
  const make = (role: Role) => signedIn(app, shopId, role);
  people = { technician: await make('technician'), desk: await make('desk'), owner: await make('owner') };
  await inShop(app.db, shopId, (tx) => putTechnicians(tx, [{ key: 'ida', name: 'Invented Ida' }]));
});
afterAll(() => app.close());

const owner = () => ({ cookie: people.owner.cookie });

/** An invented sheet in words of its own, with two bad lines. */
const foreign = [
  'Job #;Date;Car type;Tech;Hours;Seat position;Seat material;Dirt level;Cleaning method;Passes;Water used (gal);Water out (gal);Dry time (h);Spare',
  'A1;14/02/2025;saloon;Invented Ida;1,5;front;woven;medium;HWE;2;1;0,75;6;x',
  'A1;14/02/2025;saloon;Invented Ida;1,5;back seat;woven;light;HWE;2;1;0,75;6;x',
  'A2;15/02/2025;estate;Invented Ida, Olga N.;3;front;velour;filthy;spot clean;3;0,5;;9;x',
  'A3;31/02/2025;estate;Invented Ida;2;front;velour;medium;HWE;2;1;0,5;9;x',
  'A4;16/02/2025;estate;Invented Ida;2;front;velour;medium;HWE;forty;1;0,5;9;x',
].join('\r\n');

describe('contract: taking in a foreign sheet', () => {
  let base: string;

  it('guesses the columns from headings and contents, and leaves what it does not know', async () => {
    base = await sendFile(app, owner(), 'winter.csv', foreign);
    const html = await (await get(app, `${base}/columns`, people.owner.cookie)).text();
    const chosen = fieldsOf(html);
    expect(chosen).toMatchObject({
      ref: 'c0',
      'finished-at': 'c1',
      'body-style': 'c2',
      technician: 'c3',
      minutes: 'c4',
      area: 'c5',
      fabric: 'c6',
      soil: 'c7',
      method: 'c8',
      'wet-passes': 'c9',
      'job-sprayed-l': 'c10',
      'job-recovered-l': 'c11',
      'dried-after': 'c12',
    });
    expect(Object.values(chosen)).not.toContain('c13');
    expect(html).toContain('N “Spare”');
  });

  it('takes no mapping that lacks what a job needs, and says which', async () => {
    const refused = await choose(app, owner(), base, 'columns', { soil: '' });
    expect(refused.status).toBe(422);
    expect(await refused.text()).toContain('Section: soil: a job needs it');
  });

  it('maps words and units, lists every problem by its line and stores nothing before it is told to', async () => {
    await choose(app, owner(), base, 'columns', {});
    const values = fieldsOf(await (await get(app, `${base}/values`, people.owner.cookie)).text());
    expect(values).toMatchObject({
      'unit-minutes': 'hours',
      'unit-job-sprayed-l': 'US gal',
      'word-soil.0': 'moderate',
      decimal: 'comma',
      'word-technician.0': 'ida',
      'word-technician.1': 'olga-n',
    });
    expect((await choose(app, owner(), base, 'values', {})).status).toBe(303);
    const html = await (await get(app, `${base}/check`, people.owner.cookie)).text();
    expect(html).toContain('1 job can be taken in, and 3 jobs cannot be.');
    expect(html).toContain('Labour is &quot;olga-n&quot;: not on your list of technicians');
    expect(html).toMatch(/data-label="Line">5<\/th>.*31\/02\/2025/);
    expect(html).toMatch(/data-label="Line">6<\/th>.*Section: wet passes is &quot;forty&quot;/);
    expect(html).toContain('<th scope="row">Water put down, whole job, L</th><td data-label="Row 1">3.785411784</td>');
    expect(await inShop(app.db, shopId, (tx) => readRecord(tx, 'A1'))).toBeUndefined();
  });

  it('puts new people on the lists on demand, takes in, and a second time changes nothing', async () => {
    await post(app, `${base}/missing`, { createMissing: 'yes' }, owner());
    const done = await post(app, `${base}/take-in`, {}, owner());
    expect(done.headers.get('location')).toBe(`${base}/result`);
    expect(await (await get(app, `${base}/result`, people.owner.cookie)).text()).toContain('2 jobs stored');
    const stored = await inShop(app.db, shopId, (tx) => readRecord(tx, 'A1'));
    expect(stored?.record).toMatchObject({
      finishedAt: '2025-02-14T17:00:00+00:00',
      labour: [{ technician: 'ida', minutes: 90 }],
      sprayedLitres: 3.785411784,
      sections: [
        { area: 'front-seat', soil: 'moderate', fabric: 'flat-woven', method: 'extraction', wetPasses: 2 },
        { area: 'rear-bench', soil: 'light' },
      ],
      drying: { checks: [{ hours: 6, dry: true }] },
    });
    const shared = await inShop(app.db, shopId, (tx) => readRecord(tx, 'A2'));
    expect(shared?.record.labour).toEqual([
      { technician: 'ida', minutes: 90 },
      { technician: 'olga-n', minutes: 90 },
    ]);
    const again = await sendFile(app, owner(), 'winter.csv', foreign);
    await choose(app, owner(), again, 'columns', {});
    await choose(app, owner(), again, 'values', {});
    await post(app, `${again}/take-in`, {}, owner());
    const html = await (await get(app, `${again}/result`, people.owner.cookie)).text();
    expect(html).toContain('0 jobs stored');
    expect(html).toMatch(/There already<\/dt><dd>2 jobs/);
    expect((await inShop(app.db, shopId, (tx) => readRecord(tx, 'A1')))?.version).toBe(1);
  });

  it('tells what is out of bounds in the unit of the sheet', async () => {
    const sheet = [
      'Job;Date;Body;Tech;Hours;Area;Fabric;Soil;Method;Passes;Sq ft;Sprayed gal',
      'U1;14/02/2025;sedan;ida;3;front-seat;velour;light;extraction;2;500;2',
    ].join('\r\n');
    const base = await sendFile(app, owner(), 'feet.csv', sheet);
    await choose(app, owner(), base, 'columns', { 'surface-m2': 'c10', 'job-sprayed-l': 'c11' });
    await choose(app, owner(), base, 'values', { 'unit-surface-m2': 'sq ft', 'unit-job-sprayed-l': 'US gal' });
    const html = await (await get(app, `${base}/check`, people.owner.cookie)).text();
    expect(html).toMatch(/[Ss]urface is 500 sq ft: a number above 0 up to 322\.91</);
  });

  it('reads labour in the unit of the column that was chosen, lets it be changed, and says in which', async () => {
    const sheet = [
      'Job;Date;Body;Tech;Effort hrs;Area;Fabric;Soil;Method;Passes',
      'H1;14/02/2025;sedan;ida;3,5;front-seat;velour;light;extraction;2',
      'H2;15/02/2025;sedan;ida;30;front-seat;velour;light;extraction;2',
    ].join('\r\n');
    const base = await sendFile(app, owner(), 'hours.csv', sheet);
    await choose(app, owner(), base, 'columns', { minutes: 'c4' });
    expect(fieldsOf(await (await get(app, `${base}/values`, people.owner.cookie)).text())).toMatchObject({
      'unit-minutes': 'hours',
    });
    await choose(app, owner(), base, 'values', {});
    const check = async () => (await get(app, `${base}/check`, people.owner.cookie)).text();
    expect(await check()).toContain('“3,5” is 3.5 hours, which makes 210 minutes.');
    await choose(app, owner(), base, 'values', { 'unit-minutes': 'minutes' });
    expect(await check()).toContain('“3,5” is 3.5 minutes.');
  });

  it('asks for every word it does not know, with the rows that hang on it, and tells what was left out', async () => {
    const row = (ref: string, stain: string, soil: string, result: string) =>
      `${ref};14/02/2025;saloon;ida;90;front;woven;${soil};HWE;2;${stain};${result}`;
    const sheet = [
      'Job;Date;Body;Tech;Minutes;Area;Fabric;Soil;Method;Passes;Stains;Result',
      row('C1', 'coffee, gloop', 'grubby-ish', 'so-so'),
      row('C2', 'gloop', 'light', 'clean'),
      row('C3', 'gloop', 'grubby-ish', 'clean'),
    ].join('\r\n');
    const base = await sendFile(app, owner(), 'odd.csv', sheet);
    await choose(app, owner(), base, 'columns', {});
    for (const step of ['check', 'take-in']) {
      const early =
        step === 'check'
          ? await get(app, `${base}/check`, people.owner.cookie)
          : await post(app, `${base}/take-in`, {}, owner());
      expect([early.status, early.headers.get('location')], step).toEqual([303, `${base}/values`]);
    }
    const html = await (await get(app, `${base}/values`, people.owner.cookie)).text();
    expect(html).toContain('3 words are not known here and asked for below');
    expect(html).toMatch(/“gloop” is<.*?Not known here: choose what it means. In 3 rows\./);
    expect(html).toContain('left out: its jobs are refused');
    const silent = await choose(app, owner(), base, 'values', {});
    expect(silent.status).toBe(422);
    expect(await silent.text()).toContain('Section: stains: what is “gloop”?');
    const said = { 'word-soil.0': 'heavy', 'word-stains.1': '-', 'word-result.0': '-' };
    expect((await choose(app, owner(), base, 'values', said)).headers.get('location')).toBe(`${base}/check`);
    const check = await (await get(app, `${base}/check`, people.owner.cookie)).text();
    expect(check).toContain('3 jobs can be taken in, and none is in the way.');
    expect(check).toContain(
      '<li>Section: stains: “gloop”. In 3 rows.</li><li>Section: result: “so-so”. In 1 row.</li>',
    );
    await post(app, `${base}/take-in`, {}, owner());
    const stored = await inShop(app.db, shopId, (tx) => readRecord(tx, 'C1'));
    expect(stored?.record.sections).toMatchObject([{ soil: 'heavy', stains: ['drink'], result: 'clean' }]);
  });

  it('goes on after its process ended in the middle, and stores nothing twice', async () => {
    const sheet = foreign.replaceAll('A1;', 'B1;').replaceAll('A2;', 'B2;');
    const half = await sendFile(app, owner(), 'half.csv', sheet);
    await choose(app, owner(), half, 'columns', {});
    await choose(app, owner(), half, 'values', {});
    const importId = half.replace('/import/', '');
    const long = new Date(now.getTime() - 3_600_000);
    await inShop(app.db, shopId, (tx) =>
      changeImport(tx, importId, { state: 'taking', lineReached: 3, reachedAt: now }),
    );
    const going = await get(app, `${half}/result`, people.owner.cookie);
    expect([going.headers.get('refresh'), (await going.text()).includes('line 3 of 6')]).toEqual(['2', true]);
    await inShop(app.db, shopId, (tx) => changeImport(tx, importId, { reachedAt: long }));
    const broken = await get(app, `${half}/result`, people.owner.cookie);
    expect([broken.headers.get('refresh'), (await broken.text()).includes('broke off')]).toEqual([null, true]);
    await post(app, `${half}/take-in`, {}, owner());
    expect(await (await get(app, `${half}/result`, people.owner.cookie)).text()).toContain('2 jobs stored');
    const pieces = await inShop(
      app.db,
      shopId,
      ({ sql }) => sql`select 1 from import_piece where import_id = ${importId}`,
    );
    expect(pieces).toHaveLength(0);
  });

  it('keeps its report where somebody presses twice, and the second comes when the first is done', async () => {
    const twice = await sendFile(app, owner(), 'twice.csv', foreign.replaceAll('A1;', 'D1;').replaceAll('A2;', 'D2;'));
    await choose(app, owner(), twice, 'columns', {});
    await choose(app, owner(), twice, 'values', {});
    const importId = twice.replace('/import/', '');
    const file = await inShop(app.db, shopId, (tx) => readImport(tx, importId));
    const reading = { profile: file?.profile as CsvProfile, mapping: csvMapping.parse(file?.mapping), timeZone: 'UTC' };
    const runs = new ImportRuns(app.deps);
    await runs.take({ shopId, importId, reading }, 10_000);
    await runs.take({ shopId, importId, reading }, 10_000);
    expect(await (await get(app, `${twice}/result`, people.owner.cookie)).text()).toContain('2 jobs stored');
  });

  it('keeps what was sent for a day and no longer', async () => {
    const old = await sendFile(app, owner(), 'old.csv', foreign);
    const importId = old.replace('/import/', '');
    await inShop(app.db, shopId, (tx) => dropOldImports(tx, new Date(now.getTime() + 23 * 3_600_000)));
    expect((await get(app, `${old}/columns`, people.owner.cookie)).status).toBe(200);
    await inShop(app.db, shopId, (tx) => dropOldImports(tx, new Date(now.getTime() + 25 * 3_600_000)));
    expect((await get(app, `${old}/columns`, people.owner.cookie)).status).toBe(404);
    const pieces = await inShop(
      app.db,
      shopId,
      ({ sql }) => sql`select 1 from import_piece where import_id = ${importId}`,
    );
    expect(pieces).toHaveLength(0);
  });

  it('refuses what is not UTF-8, empty, or no CSV, with the reason', async () => {
    const said = async (content: string | Buffer) => (await sendFile(app, owner(), 'x.csv', content, 422)) as string;
    expect(await said(Buffer.from('Job;Na\xefve\r\n1;2', 'latin1'))).toContain('not UTF-8');
    expect(await said('')).toContain('empty');
    expect(await said('Job,Date')).toContain('no row below');
    expect(await said('Job,Date\n"1,2')).toContain('quoted cell begins here');
  });

  it('refuses a unit and a meaning that PostgreSQL’s text cannot hold', async () => {
    const base = await sendFile(app, owner(), 'odd.csv', foreign);
    await choose(app, owner(), base, 'columns', {});
    for (const field of ['unit-minutes', 'word-soil.0'])
      expect((await choose(app, owner(), base, 'values', { [field]: '\0' })).status, field).toBe(422);
  });

  it('keeps technician and desk out, and another shop’s owner', async () => {
    const base = await sendFile(app, owner(), 'own.csv', foreign);
    for (const role of ['technician', 'desk'] as const) {
      const { cookie } = people[role];
      expect((await get(app, '/import', cookie)).status).toBe(403);
      expect((await get(app, `${base}/columns`, cookie)).status).toBe(403);
      expect((await post(app, `${base}/take-in`, {}, { cookie })).status).toBe(403);
    }
    const other = await signedIn(app, (await app.openShop()).shopId, 'owner');
    expect((await get(app, `${base}/columns`, other.cookie)).status).toBe(404);
    expect((await get(app, `${base}/columns`, people.owner.cookie)).status).toBe(200);
  });
});
