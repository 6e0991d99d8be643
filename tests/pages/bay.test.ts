import postgres from 'postgres';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { FinishedJob } from '../../src/domain/record.ts';
import { defaultShopSettings } from '../../src/domain/shop-settings.ts';
import { putMachines, putTechnicians } from '../../src/store/lists.ts';
import { deleteRecord, listVersions, readRecord } from '../../src/store/records.ts';
import { inShop } from '../../src/store/shop-scope.ts';
import { replaceShopSettings } from '../../src/store/shops.ts';
import { type AppUnderTest, read, startApp } from '../http/app-under-test.ts';
import { anotherWaits } from '../support/database.ts';
import { get, post, type SignedIn, signedIn, textOf } from './pages-under-test.ts';

let app: AppUnderTest;
let shopId: string;
let deskKey: string;
let technician: SignedIn;
beforeAll(async () => {
  app = await startApp();
  const shop = await app.openShop();
  shopId = shop.shopId;
  deskKey = shop.keys.desk;
  await inShop(app.db, shopId, async (tx) => {
    await putTechnicians(tx, [
      { key: 'ada', name: 'Invented Ada' },
      { key: 'bram', name: 'Invented Bram' },
      { key: 'old', name: 'Invented Olga', until: '2024-01-01' },
      { key: 'eva', name: 'Invented Eva', until: '2025-03-05' }, // who works her last day
    ]);
    await putMachines(tx, [{ key: 'drum-a', name: 'Invented drum', kind: 'extractor', grade: 'standard' }]);
  });
  technician = await signedIn(app, shopId, 'technician');
});
afterAll(() => app.close());

type Fields = Readonly<Record<string, string>>;

/** A van's front seats, as its form is filled in. */
const van = (ref: string, more: Fields = {}): Fields => ({
  ref,
  proposedRef: '',
  finishedAt: '2025-03-05T09:30',
  bodyStyle: 'van',
  'sections.0.area': 'front-seat',
  'sections.0.count:number': '2',
  'sections.0.fabric': 'knit',
  'sections.0.soil': 'heavy',
  'sections.0.method': 'extraction',
  'sections.0.wetPasses:number': '2',
  'sections.0.dryPasses:number': '',
  'sections.0.result': 'clean',
  'labour.0.technician': 'ada',
  'labour.0.minutes:number': '80',
  extractor: 'drum-a',
  ...more,
});
const page = async (path: string, cookie = technician.cookie) => textOf(get(app, path, cookie));
const send = (fields: Fields, path = '/jobs/new') => post(app, path, fields, technician);
const stored = (ref: string): Promise<FinishedJob | undefined> =>
  inShop(app.db, shopId, async (tx) => (await readRecord(tx, ref))?.record);

describe('contract: recording a job in the bay', () => {
  it('stores what the interface for programs gives out again', async () => {
    const answer = await send(van('V-1', { 'sections.0.stains:list': 'pet', 'seatsRemoved:flag': 'yes', note: 'x' }));
    expect([answer.status, answer.headers.get('location')]).toEqual([303, '/jobs/recent?stored=V-1']);
    const read1 = await read<FinishedJob>(await app.call('GET', '/v1/records/V-1', { key: deskKey }));
    expect(read1).toEqual({
      ref: 'V-1',
      finishedAt: '2025-03-05T09:30:00+00:00',
      bodyStyle: 'van',
      seatsRemoved: true,
      labour: [{ technician: 'ada', minutes: 80 }],
      extractor: 'drum-a',
      // Its box was there and not ticked.
      finalVacuum: false,
      sections: [
        {
          area: 'front-seat',
          count: 2,
          fabric: 'knit',
          soil: 'heavy',
          stains: ['pet'],
          method: 'extraction',
          wetPasses: 2,
          result: 'clean',
        },
      ],
      note: 'x',
    });
  });

  it('says ahead of the form that nobody is there to have done the job, and leads the owner to the list', async () => {
    const { shopId: fresh } = await app.openShop();
    const seen = async (role: 'technician' | 'owner') => page('/jobs/new', (await signedIn(app, fresh, role)).cookie);
    expect(await seen('owner')).toContain('<a href="/technicians">Put somebody on it first</a>');
    expect(await seen('technician')).toContain('The owner puts them there');
    expect(await page('/jobs/new', technician.cookie)).not.toContain('Nobody is on the list');
  });

  it('takes the same again as the same, and says at the number that other content is another job', async () => {
    expect((await send(van('V-2'))).status).toBe(303);
    expect((await send(van('V-2'))).status).toBe(303);
    const other = await send(van('V-2', { 'labour.0.minutes:number': '95' }));
    expect(other.status).toBe(422);
    const html = await other.text();
    expect(html).toMatch(/id="field-ref-wrong">[^<]*V-2 is recorded already, with other content/);
    expect(html).toMatch(/name="labour\.0\.minutes:number" value="95"/);
    expect((await stored('V-2'))?.labour[0]?.minutes).toBe(80);
    expect(await inShop(app.db, shopId, (tx) => listVersions(tx, 'V-2'))).toEqual([]);
  });

  it('gives a proposed number that somebody else took meanwhile up for the next, once', async () => {
    await send(van('N-07'));
    const mine = van('N-07', { proposedRef: 'N-07', 'labour.0.minutes:number': '61' });
    for (const _ of ['sent', 'sent again'])
      expect((await send(mine)).headers.get('location')).toBe('/jobs/recent?stored=N-08');
    expect((await stored('N-08'))?.labour[0]?.minutes).toBe(61);
    expect(await stored('N-09')).toBeUndefined();
  });

  it('reads litres from tank levels with what was filled in and poured out between', async () => {
    const tank = {
      'tank.cleanBefore:litres': '10',
      'tank.cleanAfter:litres': '4,5',
      'tank.refilled:litres': '5',
      'tank.wasteBefore:litres': '1',
      'tank.wasteAfter:litres': '3',
      'tank.emptied:litres': '6.5',
    };
    await send(van('T-1', tank));
    expect(await stored('T-1')).toMatchObject({ sprayedLitres: 10.5, recoveredLitres: 8.5 });
    const both = await send(van('T-2', { ...tank, 'sprayedLitres:litres': '9' }));
    expect(both.status).toBe(422);
    expect(await both.text()).toMatch(/id="field-sprayedLitres-wrong">[^<]*give one of them/);
    const risen = await send(van('T-2', { 'tank.cleanBefore:litres': '4', 'tank.cleanAfter:litres': '5' }));
    expect(await risen.text()).toMatch(/id="field-sprayedLitres-wrong">[^<]*went the wrong way/);
    expect(await stored('T-2')).toBeUndefined();
  });

  it('reads gallons in a shop that has set them, and a time by the clock of its zone', async () => {
    const us = await app.openShop();
    await inShop(app.db, us.shopId, async (tx) => {
      await putTechnicians(tx, [{ key: 'ada', name: 'Invented Ada' }]);
      await replaceShopSettings(tx, { ...defaultShopSettings, units: 'us' });
    });
    const somebody = await signedIn(app, us.shopId, 'technician');
    const job = van('G-1', { extractor: '', finishedAt: '2024-07-01T13:00', 'sprayedLitres:litres': '2' });
    expect((await post(app, '/jobs/new', job, somebody)).status).toBe(303);
    const record = await inShop(app.db, us.shopId, async (tx) => (await readRecord(tx, 'G-1'))?.record);
    // A US gallon is 231 cubic inches of 25.4 mm: 3.785411784 L. British summer time is an hour ahead of UTC.
    expect(record?.sprayedLitres).toBeCloseTo(7.570823568, 9);
    expect(record?.finishedAt).toBe('2024-07-01T13:00:00+01:00');
    const much = await post(app, '/jobs/new', { ...job, ref: 'G-2', 'sprayedLitres:litres': '300' }, somebody);
    expect(await much.text()).toContain('Sprayed is &quot;300&quot; gal: a number from 0 to 264.17');
    expect(await page('/jobs/new?like=G-1', somebody.cookie)).toContain('Clean tank before (gal)');
    expect(await stored('G-1')).toBeUndefined();
    expect((await get(app, '/jobs/new?like=G-1', technician.cookie)).status).toBe(404);
  });

  it('reads what was typed before the shop changed its units in those it was typed in', async () => {
    const other = await app.openShop();
    const units = (units: 'si' | 'us') =>
      inShop(app.db, other.shopId, (tx) => replaceShopSettings(tx, { ...defaultShopSettings, units }));
    await inShop(app.db, other.shopId, (tx) => putTechnicians(tx, [{ key: 'ada', name: 'Invented Ada' }]));
    await units('us');
    const somebody = await signedIn(app, other.shopId, 'technician');
    const open = await page('/jobs/new?body=van', somebody.cookie);
    const typedIn = /name="typedIn" value="(\w+)"/.exec(open)?.[1] ?? '';
    await units('si');
    const job = van('U-1', { extractor: '', typedIn, 'sprayedLitres:litres': '2' });
    const more = await (await post(app, '/jobs/new', { ...job, reshape: 'add-section' }, somebody)).text();
    expect(more).toContain('name="sprayedLitres:litres" value="7.570824"');
    expect(more).toContain('name="typedIn" value="si"');
    expect((await post(app, '/jobs/new', job, somebody)).status).toBe(303);
    const record = await inShop(app.db, other.shopId, async (tx) => (await readRecord(tx, 'U-1'))?.record);
    expect(record?.sprayedLitres).toBe(7.570824);
  });

  it('says everything that is wrong at its field, and keeps what was typed', async () => {
    const wrong = van('W-1', {
      'sections.0.soil': '',
      'sections.0.wetPasses:number': 'two',
      'labour.0.minutes:number': '',
      finishedAt: '2025-03-06T09:30',
      'dilution:number': 'strong',
      note: 'a <b>note</b>',
    });
    const answer = await send(wrong);
    expect(answer.status).toBe(422);
    const html = await answer.text();
    for (const field of ['sections-0-soil', 'sections-0-wetPasses', 'labour-0-minutes', 'finishedAt', 'dilution'])
      expect(html, field).toContain(`id="field-${field}-wrong"`);
    for (const typed of ['two', 'strong', '2025-03-06T09:30']) expect(html).toContain(`value="${typed}"`);
    expect(html).toContain('>a &lt;b&gt;note&lt;/b&gt;</textarea>');
    expect(html).toContain('>Front seats, soil before the work is missing: one of light, moderate, heavy, severe</a>');
    expect(html).toContain('>Work ended is later than it is now</a>');
    expect(html).not.toMatch(/sections\[|labour\[/);
    expect(await stored('W-1')).toBeUndefined();
  });

  it('folds away no tank level that is wrong', async () => {
    const folded = /<details(?<open> open="")?><summary>Refilled, emptied, or litres known/;
    expect(folded.exec(await (await send(van('W-3', { finishedAt: '' }))).text())?.groups?.open).toBeUndefined();
    const html = await (await send(van('W-3', { 'tank.refilled:litres': 'one' }))).text();
    expect(html).toContain('href="#field-tank-refilled"');
    expect(folded.exec(html)?.groups?.open).toBeDefined();
  });

  it('asks who worked on it at the field where the first is chosen', async () => {
    const nobody = await send(van('W-2', { 'labour.0.technician': '', 'labour.0.minutes:number': '' }));
    const html = await nobody.text();
    expect(html).toContain('href="#field-labour-0-technician">Choose who worked on it, and give the minutes</a>');
    expect(html).toContain('id="field-labour-0-technician-wrong"');
  });

  it('adds parts and people and takes them away by its own buttons, keeping what was typed', async () => {
    const more = await (await send({ ...van('', { reshape: 'add-section' }) })).text();
    expect(more).toMatch(/name="sections\.1\.wetPasses:number"/);
    expect(more).toMatch(/name="labour\.0\.minutes:number" value="80"/);
    const people = van('P-1', { 'labour.1.technician': 'bram', 'labour.1.minutes:number': '20' });
    const fewer = await (await send({ ...people, reshape: 'labour 0' })).text();
    expect(fewer).toMatch(/name="labour\.0\.minutes:number" value="20"/);
    expect(fewer).not.toMatch(/name="labour\.1\./);
    expect((await send(people)).status).toBe(303);
    expect((await stored('P-1'))?.labour).toEqual([
      { technician: 'ada', minutes: 80 },
      { technician: 'bram', minutes: 20 },
    ]);
  });

  it('is for those signed in to this shop, from its own pages', async () => {
    const elsewhere = {
      ...technician,
      headers: { 'Sec-Fetch-Site': 'cross-site', Origin: 'https://elsewhere.invalid' },
    };
    expect((await post(app, '/jobs/new', van('X-1'), elsewhere)).status).toBe(403);
    expect((await post(app, '/jobs/new', van('X-1'))).status).toBe(401);
    expect(await stored('X-1')).toBeUndefined();
  });
});

describe('contract: what a new job begins with', () => {
  it('is the usual parts of a body style, the next number, and now by the shop’s clock', async () => {
    await send(van('N-41', { finishedAt: '2025-03-05T09:59' }));
    const html = await page('/jobs/new?body=minivan');
    for (const area of ['front-seat', 'rear-bench', 'third-row'])
      expect(html).toMatch(new RegExp(`<option value="${area}" selected`));
    expect(html).toMatch(/name="ref" value="N-42"/);
    expect(html).toMatch(/name="finishedAt" value="2025-03-05T10:00"/);
    expect(html).not.toMatch(/name="sections\.0\.soil" value="\w+" checked/);
    expect(html).not.toContain('Invented Olga'); // who left
    expect(html).toContain('Invented Eva'); // who leaves tonight
    expect((await get(app, '/jobs/new?body=boat', technician.cookie)).status).toBe(404);
  });

  it('says where technicians come from while there is none', async () => {
    const { shopId } = await app.openShop();
    const { cookie } = await signedIn(app, shopId, 'technician');
    expect(await page('/jobs/new?body=sedan', cookie)).toContain(
      'Nobody is on the list yet: the owner adds technicians',
    );
    expect(await page('/jobs/new?body=sedan')).not.toContain('Nobody is on the list yet');
    expect(await page('/jobs/recent', cookie)).toContain('No job is recorded yet. <a href="/jobs/new">');
  });

  it('is the work of a former job, not what it took, with what such a job takes', async () => {
    await send(van('L-1', { 'labour.0.minutes:number': '123', 'sections.0.wetPasses:number': '4' }));
    const html = await page('/jobs/new?like=L-1');
    expect(html).toMatch(/<option value="knit" selected/);
    expect(html).not.toMatch(/value="(123|4)"/);
    expect(html).toMatch(/Like job L-1, as soiled as that was: [\d.]+ to [\d.]+ h of work, dry \d+ to \d+ h after it/);
    expect(html).toContain('rule of thumb alone'); // nothing is learnt yet
  });

  it('is what was estimated, and the job then names its estimate', async () => {
    const plan = {
      bodyStyle: 'wagon',
      extractor: 'drum-a',
      sections: [{ area: 'rear-bench', fabric: 'velour', soil: 'severe', method: 'spot-then-extraction' }],
    };
    const made = await app.call('POST', '/v1/estimates', { key: deskKey, json: plan });
    const { id, quote, labourHours } = await read<{
      id: string;
      quote: { hours: number };
      labourHours: { p10: number };
    }>(made);
    expect(await page('/jobs/new')).toContain(`href="/jobs/new?estimate=${id}"`);
    const html = await page(`/jobs/new?estimate=${id}`);
    expect(html).toContain(`As estimated: ${labourHours.p10.toFixed(1)} to `);
    expect(html).toMatch(/name="sections\.0\.soil" value="severe" checked/);
    const quoted = { 'quoted.hours:number': String(quote.hours), 'quoted.estimate': id };
    await send(van('E-1', quoted));
    expect((await stored('E-1'))?.quoted).toEqual({ hours: quote.hours, estimate: id });
    expect(await page('/jobs/new')).not.toContain(`?estimate=${id}`); // done, so no longer offered
    expect((await get(app, '/jobs/new?estimate=nothing', technician.cookie)).status).toBe(404);
  });

  it('begins with the only extractor there is, until the phone has said that none was used', async () => {
    const chosen = (html: string) =>
      /<option value="([^"]*)" selected[^>]*>(?:Invented|Former|none used)/.exec(html)?.[1];
    const drum = { key: 'drum-b', name: 'Invented second', kind: 'extractor', grade: 'high' } as const;
    expect(chosen(await page('/jobs/new?body=van'))).toBe('drum-a');
    const none = `${technician.cookie}; secondpass_bay=${encodeURIComponent('{"technician":"ada","extractor":""}')}`;
    expect(chosen(await page('/jobs/new?body=van', none))).not.toBe('drum-a');
    await inShop(app.db, shopId, (tx) => putMachines(tx, [{ ...drum, until: '2024-01-01' }]));
    expect(chosen(await page('/jobs/new?body=van'))).toBe('drum-a');
  });

  it('begins with the extractor of most of the latest jobs where there are several', async () => {
    const { shopId: other } = await app.openShop();
    const somebody = await signedIn(app, other, 'technician');
    const machine = { name: 'Invented machine', kind: 'extractor', grade: 'high' } as const;
    await inShop(app.db, other, async (tx) => {
      await putTechnicians(tx, [{ key: 'ada', name: 'Invented Ada' }]);
      await putMachines(tx, [
        { ...machine, key: 'barrel' },
        { ...machine, key: 'drum-a' },
      ]);
    });
    const chosen = async (path = '/jobs/new?body=van') =>
      /<option value="([^"]*)" selected[^>]*>Invented machine/.exec(await page(path, somebody.cookie))?.[1];
    expect(await chosen()).toBeUndefined(); // nobody knows yet
    for (const [ref, extractor] of [
      ['M-1', 'drum-a'],
      ['M-2', 'drum-a'],
      ['M-3', 'barrel'],
    ] as const)
      await post(app, '/jobs/new', van(ref, { extractor }), somebody);
    expect(await chosen()).toBe('drum-a');
    expect(await chosen('/jobs/new?like=M-3')).toBe('barrel');
    await inShop(app.db, other, (tx) => putMachines(tx, [{ ...machine, key: 'drum-a', until: '2024-01-01' }]));
    expect(await chosen()).toBe('barrel');
  });

  it('is who worked last on this phone and with what', async () => {
    const set = (await send(van('C-1', { 'labour.0.technician': 'bram' }))).headers.getSetCookie();
    const cookie = set.find((line) => line.startsWith('secondpass_bay='))?.split(';')[0];
    const html = await page('/jobs/new?body=van', `${technician.cookie}; ${cookie}`);
    expect(html).toMatch(/<option value="bram" selected/);
    expect(html).toMatch(/<option value="drum-a" selected/);
    const spot = van('C-2', { 'sections.0.method': 'spot', extractor: '' });
    const on = { ...technician, cookie: `${technician.cookie}; ${cookie}` };
    const kept = (await post(app, '/jobs/new', spot, on)).headers.getSetCookie().join();
    expect(decodeURIComponent(kept)).toContain('"extractor":"drum-a"'); // for the next extraction
    const without = await page('/jobs/new?like=C-2', `${technician.cookie}; ${cookie}`);
    expect(without).not.toMatch(/<option value="drum-a" selected/);
    const drum = { key: 'drum-z', name: 'Former drum', kind: 'extractor', grade: 'high' } as const;
    await inShop(app.db, shopId, (tx) => putMachines(tx, [drum]));
    await send(van('C-3', { extractor: 'drum-z' }));
    await inShop(app.db, shopId, (tx) => putMachines(tx, [{ ...drum, until: '2025-03-04' }]));
    const sold = await page('/jobs/new?like=C-3', `${technician.cookie}; ${cookie}`);
    expect(sold).toMatch(/<option value="drum-a" selected/);
    const nonsense = await get(app, '/jobs/new?body=van', `${technician.cookie}; secondpass_bay=%7Bnonsense`);
    expect(nonsense.status).toBe(200);
  });
});

describe('contract: what is learnt after the work', () => {
  const later = (fields: Fields) => send(fields, '/jobs/recent');

  it('says when a job may be dry by what was done and seen of it, until somebody finds it dry', async () => {
    await send(van('D-1'));
    const html = await page('/jobs/recent?stored=D-1');
    expect(html).toContain('Job D-1 is stored.');
    expect(html).toContain('<a href="/records/job/mend?ref=D-1">A slip? Mend it</a>');
    expect(html).toContain('<h2><a href="/records/job?ref=D-1">D-1: Van</a></h2>');
    expect(await page('/records/job/mend?ref=D-1')).toContain('A check whose hours are emptied is taken out.');
    const said =
      /8 of 10 such jobs are dry between Wed 5 Mar, \d\d:(00|15|30|45) and .*\d\d:(00|15|30|45) \(rule of thumb alone\)/;
    expect(html).toMatch(said);
    expect(html).toContain('after the work, by the passes made. Check the slowest place');
    const other = await page('/jobs/recent');
    expect(other).toMatch(said); // in the list, where it is looked up later
    expect(await page('/records/job?ref=D-1')).toMatch(said); // and where the desk looks it up
    expect((await later({ ref: 'D-1', 'hours:number': '0,25', 'dry:flag': 'no' })).status).toBe(303);
    const stillWet = await page('/jobs/recent?stored=D-1');
    expect(stillWet).toMatch(/8 of 10 such jobs still wet after 15 min are dry between Wed 5 Mar/);
    await later({ ref: 'D-1', 'hours:number': '0,5', 'dry:flag': 'yes' });
    const [notice] = (await page('/jobs/recent?stored=D-1')).split('<ul class="cards">');
    expect(notice).toContain('Job D-1 is stored.');
    expect(notice).not.toContain('8 of 10 such jobs');
    expect(await page('/jobs/recent?stored=nothing')).not.toContain('is stored');
  });

  it('takes a check as of now, or as of the hours that are told, once each', async () => {
    await send(van('D-2', { finishedAt: '2025-03-05T06:30' }));
    await later({ ref: 'D-2', 'dry:flag': 'no' });
    const told = { ref: 'D-2', 'hours:number': '1,5', 'dry:flag': 'no' };
    await later(told);
    await later(told);
    expect((await stored('D-2'))?.drying?.checks).toEqual([
      { hours: 1.5, dry: false },
      { hours: 3.5, dry: false },
    ]);
  });

  it('tells the checks of a job in one sentence', async () => {
    await send(van('D-8', { finishedAt: '2025-03-05T09:45' })); // later than all the others, so listed first
    await later({ ref: 'D-8', 'hours:number': '0,1', 'dry:flag': 'no' });
    await later({ ref: 'D-8', 'dry:flag': 'yes' });
    expect(await page('/jobs/recent')).toContain('<p>Still wet after 6 min; dry after 15 min.</p>');
  });

  it('says in the form what does not go with what is known, and keeps what was typed', async () => {
    await send(van('D-3', { finishedAt: '2025-03-04T06:30' }));
    await later({ ref: 'D-3', 'hours:number': '9', 'dry:flag': 'yes' });
    const against = await later({ ref: 'D-3', 'hours:number': '12', 'dry:flag': 'no', comeback: 'ring' });
    expect(against.status).toBe(422);
    const html = await against.text();
    expect(html).toMatch(/id="field-0-hours-wrong">This goes against a check/);
    expect(html).toMatch(/name="hours:number" value="12"/);
    expect(await stored('D-3')).toMatchObject({ drying: { checks: [{ hours: 9, dry: true }] } });
    expect((await stored('D-3'))?.outcome).toBeUndefined();
    const nothing = await later({ ref: 'D-3', 'hours:number': '', comeback: '', damage: '' });
    expect(await nothing.text()).toContain('Nothing was filled in');
    const half = await later({ ref: 'D-3', 'hours:number': '30' });
    expect(await half.text()).toContain('Was it dry or still wet?');
    expect((await later({ ref: 'unknown', comeback: 'ring' })).status).toBe(404);
  });

  it('takes a comeback without making a check of it', async () => {
    await send(van('D-4'));
    await later({ ref: 'D-4', 'hours:number': '', comeback: 'wick-back', damage: 'pilling' });
    const record = await stored('D-4');
    expect(record?.outcome).toEqual({ comeback: 'wick-back', damage: 'pilling' });
    expect(record?.drying).toBeUndefined();
  });

  it('says in the form that a check lies in the future', async () => {
    await send(van('D-7'));
    const ahead = await later({ ref: 'D-7', 'hours:number': '20', 'dry:flag': 'yes' });
    expect(ahead.status).toBe(422);
    expect(await ahead.text()).toContain('hours is 20: not in the future; at most 1.5, as the work ended');
  });

  it('stores a check and a comeback together or neither, each under its own reason', async () => {
    await send(van('D-5', { finishedAt: '2025-03-05T06:30' }));
    const both = { ref: 'D-5', 'dry:flag': 'yes', comeback: 'odour' };
    const owner = postgres(app.db.ownerUrl, { max: 1, onnotice: () => {} });
    await owner`create function broken() returns trigger language plpgsql as $$ begin raise 'broken'; end $$`;
    await owner`create trigger broken before insert on job_version for each row when (new.reason = 'comeback') execute function broken()`;
    expect((await later(both)).status).toBe(500);
    expect((await stored('D-5'))?.drying).toBeUndefined();
    await owner`drop function broken cascade`;
    await owner.end();
    expect((await later(both)).status).toBe(303);
    expect(await stored('D-5')).toMatchObject({
      drying: { checks: [{ hours: 3.5, dry: true }] },
      outcome: { comeback: 'odour' },
    });
    const former = await inShop(app.db, shopId, (tx) => listVersions(tx, 'D-5'));
    expect(former.map(({ reason }) => reason)).toEqual(['check', 'comeback']);
  });

  it('of a job that was taken out meanwhile is not found', async () => {
    await send(van('D-6', { finishedAt: '2025-03-05T06:30' }));
    const { sent } = await inShop(app.db, shopId, async (tx) => {
      await deleteRecord(tx, 'D-6', undefined, 'somebody');
      const sent = later({ ref: 'D-6', 'dry:flag': 'yes' });
      await anotherWaits(tx);
      return { sent }; // whose answer comes after this transaction
    });
    expect((await sent).status).toBe(404);
  });
});
