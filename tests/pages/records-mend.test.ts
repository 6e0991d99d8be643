import fc from 'fast-check';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import type { FinishedJob } from '../../src/domain/record.ts';
import { checkRecord } from '../../src/domain/record-rules.ts';
import { defaultShopSettings } from '../../src/domain/shop-settings.ts';
import type { Role } from '../../src/domain/vocabulary.ts';
import { readJob } from '../../src/http/job-form-input.ts';
import { readForm } from '../../src/pages/form-input.ts';
import { formatsFor } from '../../src/pages/format.ts';
import { entriesOf } from '../../src/pages/job-entries.ts';
import { asStoredWhereUntouched, withoutEmptyLines } from '../../src/pages/records-mend.ts';
import { Mend } from '../../src/pages/records-mend-form.tsx';
import { inShop } from '../../src/store/shop-scope.ts';
import { context, machines, storedRecord, technicians } from '../domain/arbitrary-record.ts';
import { type AppUnderTest, startApp } from '../http/app-under-test.ts';
import { jobOf, openRecordsShop, type RecordsShop, read } from '../http/records-shop.ts';
import { formAsSent } from './form-as-sent.ts';
import { get, post, type SignedIn, signedIn, textOf } from './pages-under-test.ts';

describe('identity: a record through the form that mends it', () => {
  const lists = {
    technicians: technicians.map((key) => ({ key, name: key })),
    machines: machines.map((key) => ({ key, name: key, kind: 'extractor' as const, grade: 'standard' as const })),
  };

  function throughForm(record: FinishedJob, units: 'si' | 'us', timeZone: string) {
    const formats = formatsFor({ now: new Date('2025-03-05'), timeZone, settings: { ...defaultShopSettings, units } });
    const entries = entriesOf(record, units, timeZone);
    const { form } = readForm(entries, units);
    const html = Mend({ jobRef: record.ref, form, entries, lists, formats, version: '"1-0"' }).toString();
    const sent = withoutEmptyLines(formAsSent(html), record);
    const { input, faults } = readJob(sent, { units, timeZone, before: record.finishedAt });
    expect(faults).toEqual([]);
    const { version, ...job } = input;
    expect(version).toBe('"1-0"');
    return checkRecord({ ...asStoredWhereUntouched(job, record, units, timeZone), ref: record.ref }, context);
  }

  it.each([
    ['si', 'Europe/London'],
    ['us', 'America/Chicago'],
  ] as const)('comes back as it was where nobody touched anything, in %s units', (units, timeZone) => {
    fc.assert(
      fc.property(storedRecord, (record) => {
        expect(throughForm(record, units, timeZone)).toMatchObject({ ok: true, record });
      }),
      { numRuns: 60 },
    );
  });
});

describe('contract: mending a job', () => {
  let app: AppUnderTest;
  let shop: RecordsShop;
  let people: Record<Role, SignedIn>;
  let ref: string;
  let jobs = 0;
  beforeAll(async () => {
    app = await startApp();
    shop = await openRecordsShop(app);
    const make = (role: Role) => signedIn(app, shop.shopId, role);
    people = { technician: await make('technician'), desk: await make('desk'), owner: await make('owner') };
  });
  afterAll(() => app.close());
  beforeEach(async () => {
    jobs += 1;
    ref = `J/${jobs}?#&..`;
    await shop.post(jobOf(ref, { note: 'Wet cushion.\nSecond line', quoted: { hours: 3 } }));
  });

  const at = (page: string, more = '') => `/records/job${page}?ref=${encodeURIComponent(ref)}${more}`;
  const page = (path: string, role: Role = 'desk') => textOf(get(app, path, people[role].cookie));
  it('is told by its page to have run over only by what is more than nothing', async () => {
    // As quoted to the hundredth of an hour: 230 minutes are 3.8333 h.
    await shop.post(jobOf('Q-1', { labour: [{ technician: 'mira', minutes: 230 }], quoted: { hours: 3.83 } }));
    await shop.post(jobOf('Q-2', { labour: [{ technician: 'mira', minutes: 231 }], quoted: { hours: 3.83 } }));
    const told = (ref: string) => textOf(get(app, `/records/job?ref=${ref}`, people.desk.cookie));
    expect(await told('Q-1')).toContain('all persons together: within the 3 h 50 min quoted.');
    expect(await told('Q-2')).toContain('all persons together: 1 min more than the 3 h 50 min quoted.');
  });

  const openForm = async () => formAsSent(await page(at('/mend')));
  type Fields = readonly (readonly [string, string])[];
  const changed = (fields: Fields, changes: Readonly<Record<string, string>>): Fields =>
    fields.map(([name, text]) => [name, changes[name] ?? text] as const);
  const send = (fields: Fields, role: Role = 'desk') => post(app, at('/mend'), fields, people[role]);
  const stored = () => shop.get(`/records/${encodeURIComponent(ref)}`);

  it('stores what was changed, keeps the former version, and tells both on the page of the job', async () => {
    const fields = changed(await openForm(), { 'sections.0.soil': 'light', 'labour.0.minutes:number': '200' });
    const answer = await send(fields, 'technician');
    expect([answer.status, answer.headers.get('location')]).toEqual([303, expect.stringContaining('done=mended')]);
    const record = await read<FinishedJob>(await stored());
    expect(record).toMatchObject({ note: 'Wet cushion.\nSecond line', sections: [{ soil: 'light' }] });
    const html = await page(answer.headers.get('location') ?? '');
    expect(html).toContain('What it was before is kept below.');
    expect(html).toContain('Front seats (2), soil: light; it was heavy');
    expect(html).toContain('Who worked on it, Mira: 3 h 20 min; it was 3 h 15 min');
    expect(await page(at('/version', '&version=1'))).toContain('<dt>Soil</dt><dd>heavy</dd>');
  });

  it('says of each version who changed it, by name or by the label of the key, or that it is not known', async () => {
    await inShop(
      app.db,
      shop.shopId,
      (tx) =>
        tx.sql`insert into job_version (shop_id, ref, version, record, digest, reason)
        select shop_id, ref, version, record, digest, 'check' from job where shop_id = ${tx.shopId} and ref = ${ref}`,
    );
    const who = async () => [...(await page(at(''))).matchAll(/<p class="soft">By: ([^<]+)<\/p>/g)].map(([, by]) => by);
    expect(await who()).toEqual(['not known']);
    await send(changed(await openForm(), { 'sections.0.soil': 'light' }), 'technician');
    await post(app, '/jobs/recent', { ref, comeback: 'ring' }, people.desk);
    await app.call('DELETE', `/v1/records/${encodeURIComponent(ref)}`, { key: shop.keys.owner });
    expect(await who()).toEqual([
      'a program with the key “owner”, owner',
      'Invented desk, desk',
      'Invented technician, technician',
      'not known',
    ]);
  });

  it('says that nothing was changed where nothing was, and keeps no version of it', async () => {
    const answer = await send(await openForm());
    expect(answer.headers.get('location')).toContain('done=unchanged');
    expect(await page(at(''))).toContain('It stands as it was first recorded.');
  });

  it('tells faults at their fields and keeps what was typed', async () => {
    const fields = changed(await openForm(), {
      'labour.0.minutes:number': 'many',
      'sections.0.wetPasses:number': '13',
    });
    const answer = await send(fields);
    expect(answer.status).toBe(422);
    const html = await answer.text();
    expect(html).toContain('id="field-labour-0-minutes-wrong"');
    expect(html).toContain('id="field-sections-0-wetPasses-wrong"');
    expect(html).toContain('value="many"');
  });

  it('tells what somebody else changed in between, loses neither, and stores when asked again', async () => {
    const opened = await openForm();
    await send(changed(opened, { 'sections.0.soil': 'severe' }));
    const mine = changed(opened, { 'sections.0.fabric': 'velour' });
    const refused = await send(mine);
    expect(refused.status).toBe(412);
    const html = await refused.text();
    expect(html).toContain('Somebody else changed this job');
    expect(html).toContain('Front seats (2), soil: severe; it was heavy');
    expect(await read(await stored())).toMatchObject({ sections: [{ soil: 'severe', fabric: 'knit' }] });
    const again = formAsSent(html);
    expect(again).toContainEqual(['sections.0.fabric', 'velour']);
    expect((await send(again)).status).toBe(303);
    expect(await read(await stored())).toMatchObject({ sections: [{ soil: 'heavy', fabric: 'velour' }] });
    expect(
      (await read<{ former: unknown[] }>(await shop.get(`/records/${encodeURIComponent(ref)}/versions`))).former,
    ).toHaveLength(2);
  });

  it('adds and takes away parts, people and checks without a script', async () => {
    const more = await (await send([...(await openForm()), ['reshape', 'add-section']])).text();
    expect(more).toContain('name="sections.1.area"');
    const fields = changed(formAsSent(more), {
      'drying.checks.1.hours:number': '6',
      'sections.1.wetPasses:number': '1',
    });
    const filled: Fields = [...fields, ['drying.checks.1.dry:flag', 'yes'], ['sections.1.soil', 'light']];
    expect((await send(filled)).status).toBe(303);
    expect(await read(await stored())).toMatchObject({
      sections: [{ area: 'front-seat' }, { area: 'rear-bench', soil: 'light' }],
      drying: { checks: [{ hours: 6, dry: true }] },
    });
    await send(changed(await openForm(), { 'drying.checks.0.hours:number': '' }));
    expect(await read(await stored())).not.toHaveProperty('drying');
  });

  it('lets an owner alone take a job out, asks first, and keeps what it was to be read', async () => {
    for (const role of ['technician', 'desk'] as const) {
      expect((await get(app, at('/take-out'), people[role].cookie)).status).toBe(403);
      expect((await post(app, at('/take-out'), { version: '*' }, people[role])).status).toBe(403);
      expect(await page(at(''), role)).not.toContain('Take it out');
    }
    const asked = await page(at('/take-out'), 'owner');
    const version = /name="version" value="([^"]*)"/.exec(asked)?.[1]?.replaceAll('&quot;', '"') ?? '';
    await send(changed(await openForm(), { 'sections.0.soil': 'light' }));
    expect((await post(app, at('/take-out'), { version }, people.owner)).status).toBe(412);
    expect((await stored()).status).toBe(200);
    const now = /name="version" value="([^"]*)"/.exec(await page(at('/take-out'), 'owner'))?.[1] ?? '';
    const out = await post(app, at('/take-out'), { version: now.replaceAll('&quot;', '"') }, people.owner);
    expect(out.status).toBe(303);
    expect((await stored()).status).toBe(404);
    expect(await page(at(''), 'owner')).toContain('This job was taken out.');
    expect(await page(at('/version', '&version=2'))).toContain('<dt>Soil</dt><dd>light</dd>');
    expect((await send([['version', version]])).status).toBe(404);
  });

  it('shows a technician the job and no versions; nobody one of another shop, or what is not there', async () => {
    const html = await page(at(''), 'technician');
    expect(html).toContain('Mend this job');
    expect(html).not.toContain('as it was first recorded');
    expect((await get(app, at('/version', '&version=1'), people.technician.cookie)).status).toBe(403);
    const other = await signedIn(app, (await app.openShop()).shopId, 'owner');
    for (const path of [at(''), at('/mend'), at('/take-out'), at('/version', '&version=1')])
      expect((await get(app, path, other.cookie)).status).toBe(404);
    for (const query of ['', '?ref=', `?ref=${'x'.repeat(65)}`, '?ref=%00'])
      expect((await get(app, `/records/job${query}`, people.owner.cookie)).status).toBe(404);
  });

  it('names the job that is not there, the same where another shop has it, and leads on to the search', async () => {
    const other = await signedIn(app, (await app.openShop()).shopId, 'owner');
    const theirs = await get(app, at(''), other.cookie);
    const mistyped = await get(app, '/records/job?ref=20%3C41', people.desk.cookie);
    const version = await get(app, '/records/job/version?ref=20%3C41&version=2', people.desk.cookie);
    expect([theirs, mistyped, version].map(({ status }) => status)).toEqual([404, 404, 404]);
    const html = await textOf(mistyped);
    expect(html).toContain('No job with the number “20&lt;41” is recorded here.');
    expect(html).toContain('<a class="button" href="/records">Search all jobs</a>');
    const said = (text: string) => /<p class="answer">.*?<\/main>/.exec(text)?.[0];
    expect(said(await textOf(theirs))).toEqual(said(html.replaceAll('20&lt;41', ref.replace('&', '&amp;'))));
    expect(await page('/records/job?ref=none', 'technician')).toContain('href="/jobs/recent">To the recent jobs');
  });

  it('takes what was typed behind the address of the jobs for the number of one', async () => {
    const { status, headers } = await get(app, `/records/${encodeURIComponent('a/b..')}`, people.technician.cookie);
    expect([status, headers.get('location')]).toEqual([303, '/records/job?ref=a%2Fb..']);
    expect((await get(app, `/records/${'x'.repeat(65)}`, people.technician.cookie)).status).toBe(404);
    expect((await get(app, '/records/2041')).status).toBe(303);
  });
});
