import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import type { Role } from '../../src/domain/vocabulary.ts';
import { fitShop } from '../../src/models/fit.ts';
import { encodeShopFit } from '../../src/models/fit-codec.ts';
import { summariseShopFit } from '../../src/models/fit-summary.ts';
import { insertFit, publishFit, readFit, readPublishedId } from '../../src/store/fits.ts';
import { lockRun } from '../../src/store/run-lock.ts';
import { inShop } from '../../src/store/shop-scope.ts';
import { type AppUnderTest, now, startApp } from '../http/app-under-test.ts';
import { get, post, type SignedIn, signedIn, textOf } from './pages-under-test.ts';

const byRule = fitShop({
  records: [],
  technicians: [{ key: 'tia', name: 'Invented Tia' }],
  machines: [],
  now,
});
if (byRule.status !== 'fitted') throw new Error('the rules of thumb could not be fitted');
const { fit } = byRule;

let app: AppUnderTest;
let endRun: ((status: 'unchanged') => void) | undefined;
let endsAtOnce = false;
beforeAll(async () => {
  app = await startApp({
    fitPatienceMs: 20,
    runFit: (_, fitId) =>
      new Promise((resolve) => {
        endRun = (status) => resolve({ fitId, status });
        if (endsAtOnce) endRun('unchanged');
      }),
  });
});
afterAll(() => app.close());

/** A shop of its own with a fit in use, one refused and one failed, and somebody of each role. */
async function shopWithFits() {
  const { shopId } = await app.openShop();
  const [inUse, refused, failed] = [randomUUID(), randomUUID(), randomUUID()];
  const about = { dataState: '3.0.abc', startedAt: now, finishedAt: now, nJobs: 37, scores: null };
  const posterior = encodeShopFit(fit);
  const summary = summariseShopFit(fit);
  await inShop(app.db, shopId, async (tx) => {
    await publishFit(tx, { ...about, fitId: inUse, reason: null, summary, posterior });
    const reason = 'Not published: labour is too narrow.';
    await insertFit(tx, { ...about, fitId: refused, reason, summary, posterior }, 'refused');
    const none = { reason: 'labour did not converge', summary: { failures: [] }, posterior: null };
    await insertFit(tx, { ...about, fitId: failed, ...none }, 'failed');
  });
  const who = (role: Role) => signedIn(app, shopId, role);
  const people = { technician: await who('technician'), desk: await who('desk'), owner: await who('owner') };
  const reasonOf = async (fitId: string) => (await inShop(app.db, shopId, (tx) => readFit(tx, fitId)))?.reason;
  return { shopId, inUse, refused, failed, people, reasonOf };
}

const page = async (path: string, who: SignedIn) => {
  const answer = await get(app, path, who.cookie);
  return { status: answer.status, html: await textOf(answer), headers: answer.headers };
};
const send = (path: string, fields: Record<string, string>, who: SignedIn) =>
  post(app, path, fields, { cookie: who.cookie });

describe('contract: the page of the fits', () => {
  it('tells desk and owner of each with the reason in words, and the technician nothing', async () => {
    const { people, refused } = await shopWithFits();
    for (const who of [people.desk, people.owner]) {
      const { status, html } = await page('/findings/fits', who);
      expect(status).toBe(200);
      expect(html).toContain('Estimates come from the fit of 5 March 2025, learnt from 37 finished jobs.');
      expect(html).toContain('Not published: labour is too narrow.');
      expect(html).toContain('labour did not converge');
      expect(html).toContain(`/findings/fits/${refused}`);
    }
    expect((await page('/findings/fits', people.technician)).status).toBe(403);
    const csv = await page('/findings/fits.csv', people.desk);
    expect(csv.headers.get('content-type')).toContain('text/csv');
    expect(csv.html.split('\r\n')[0]).toBe('fit,learnt_at,jobs,status,reason');
  });

  it('says so where none is in use', async () => {
    const { shopId } = await app.openShop();
    const { html } = await page('/findings/fits', await signedIn(app, shopId, 'desk'));
    expect(html).toContain('No fit is in use: estimates come from the rules of thumb alone.');
    expect(html).not.toContain('<svg');
  });

  it('publishes and withdraws by hand for the owner alone, and writes down who, when and why', async () => {
    const { shopId, people, inUse, refused, reasonOf } = await shopWithFits();
    const publish = `/findings/fits/${refused}/publish`;
    for (const role of ['technician', 'desk'] as const)
      expect((await send(publish, { why: '' }, people[role])).status, role).toBe(403);
    expect((await page(`/findings/fits/${refused}`, people.desk)).html).not.toContain('Use it all the same');
    expect((await page(`/findings/fits/${refused}`, people.owner)).html).toContain('Use it all the same');
    const done = await send(publish, { why: 'the wild week is known' }, people.owner);
    expect([done.status, done.headers.get('location')]).toEqual([303, `/findings/fits/${refused}?decided`]);
    expect(await inShop(app.db, shopId, readPublishedId)).toBe(refused);
    const reason =
      'Not published: labour is too narrow. Published by hand on 2025-03-05 at 10:00 UTC by Invented owner: the wild week is known';
    expect(await reasonOf(refused)).toBe(reason);
    await send(`/findings/fits/${refused}/withdraw`, { why: '' }, people.owner);
    expect(await reasonOf(refused)).toBe(`${reason} Withdrawn by hand on 2025-03-05 at 10:00 UTC by Invented owner.`);
    expect(await reasonOf(inUse)).toBeNull();
  });

  it('says why not where it cannot, keeps what was typed, and changes nothing', async () => {
    const { shopId, people, inUse, refused, failed } = await shopWithFits();
    const tooLong = await send(`/findings/fits/${refused}/publish`, { why: 'x'.repeat(201) }, people.owner);
    const html = await tooLong.text();
    expect([tooLong.status, html.includes('id="field-why-wrong"')]).toEqual([422, true]);
    expect(html).toContain('x'.repeat(201));
    const noText = await send(`/findings/fits/${refused}/publish`, { why: 'a\0b' }, people.owner);
    expect(noText.status).toBe(422);
    const nothing = await send(`/findings/fits/${failed}/publish`, { why: '' }, people.owner);
    expect([nothing.status, (await nothing.text()).includes('nothing to publish')]).toEqual([409, true]);
    await inShop(app.db, shopId, async (tx) => {
      expect(await lockRun(tx)).toBe(true);
      expect((await send(`/findings/fits/${refused}/publish`, { why: '' }, people.owner)).status).toBe(409);
    });
    expect(await inShop(app.db, shopId, readPublishedId)).toBe(inUse);
    for (const id of [randomUUID(), 'not-an-id'])
      expect((await send(`/findings/fits/${id}/publish`, { why: '' }, people.owner)).status).toBe(404);
  });

  it('says in plain words where one reckons with another level since a month', async () => {
    const { shopId, people } = await shopWithFits();
    const changed = fitShop({ records: [], technicians: [], machines: [], now, changes: { labour: ['2024-11'] } });
    if (changed.status !== 'fitted') throw new Error('not fitted');
    const { models, ...rest } = summariseShopFit(changed.fit);
    const level = { p05: Math.log(0.7), p50: Math.log(0.75), p95: Math.log(0.8) };
    const terms = models.labour.terms.map((one) => (one.term === 'before 2024-11' ? { ...one, ...level } : one));
    const summary = { ...rest, models: { ...models, labour: { ...models.labour, terms } } };
    const about = { fitId: randomUUID(), dataState: 'y', startedAt: now, finishedAt: now, nJobs: 37, scores: null };
    const fitted = { ...about, reason: null, summary, posterior: encodeShopFit(changed.fit) };
    await inShop(app.db, shopId, (tx) => publishFit(tx, fitted));
    const said =
      'Since Nov 2024 the fit reckons with another level: jobs before then count as 25 % quicker (90 % range 20 to 30 %).';
    expect((await page(`/findings/fits/${about.fitId}?figure=labour`, people.owner)).html).toContain(said);
    expect((await page(`/findings/fits/${about.fitId}?figure=water`, people.owner)).html).not.toContain(
      'another level',
    );
  });

  it('shows one in full, people’s own figures to the owner alone, and no fit of another shop', async () => {
    const { people, inUse } = await shopWithFits();
    const { html } = await page(`/findings/fits/${inUse}?figure=passes`, people.owner);
    expect(html).toContain('Passes: rules of thumb, and what the records made of them');
    expect(html).toContain('heavy soil');
    expect(html).toContain('>tia<');
    expect((await page(`/findings/fits/${inUse}?figure=passes`, people.desk)).html).not.toContain('>tia<');
    const other = await shopWithFits();
    for (const path of [inUse, 'not-an-id', `${inUse}/numbers.csv`])
      expect((await page(`/findings/fits/${path}`, other.people.owner)).status, path).toBe(404);
    const csv = (await page(`/findings/fits/${inUse}/numbers.csv`, people.desk)).html;
    expect(csv.split('\r\n').find((line) => line.startsWith('passes.heavy,'))).toContain('heavy soil,factor,false,');
  });
});

describe('contract: learning on demand', () => {
  it('shows that it goes on and looks again by itself, and tells when there is nothing to learn', async () => {
    const { people } = await shopWithFits();
    expect((await send('/findings/fits', {}, people.desk)).status).toBe(403);
    const begun = await send('/findings/fits', {}, people.owner);
    const where = begun.headers.get('location') ?? '';
    expect([begun.status, where]).toEqual([303, expect.stringMatching(/^\/findings\/fits\/[0-9a-f-]{36}\?learning$/)]);
    const running = await page(where, people.owner);
    expect([running.status, running.headers.get('refresh')]).toEqual([200, '5']);
    expect(running.html).toContain('Learning since 10:00');
    expect((await page('/findings/fits', people.owner)).html).toContain('learning right now');
    endRun?.('unchanged');
    await vi.waitFor(async () => expect((await get(app, where, people.owner.cookie)).status).toBe(303), 20_000);
    expect((await get(app, where, people.owner.cookie)).headers.get('location')).toBe('/findings/fits?said=ended');
    endsAtOnce = true;
    const again = await send('/findings/fits', {}, people.owner);
    expect(again.headers.get('location')).toBe('/findings/fits?said=unchanged');
    expect((await page('/findings/fits?said=unchanged', people.owner)).html).toContain('nothing new to learn');
  });
});
