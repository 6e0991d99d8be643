import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Role } from '../../src/domain/vocabulary.ts';
import { rulesOfThumb } from '../../src/models/rules-of-thumb.ts';
import { inShop } from '../../src/store/shop-scope.ts';
import { readShopSettings } from '../../src/store/shops.ts';
import { type AppUnderTest, startApp } from '../http/app-under-test.ts';
import { formAsSent } from './form-as-sent.ts';
import { get, post, type SignedIn, signedIn } from './pages-under-test.ts';

let app: AppUnderTest;
let shopId: string;
let people: Record<Role, SignedIn>;
beforeAll(async () => {
  app = await startApp();
  ({ shopId } = await app.openShop());
  const who = (role: Role) => signedIn(app, shopId, role);
  people = { technician: await who('technician'), desk: await who('desk'), owner: await who('owner') };
});
afterAll(() => app.close());

const html = async (path: string) => (await get(app, path, people.owner.cookie)).text();
const send = (path: string, fields: Record<string, string>, role: Role = 'owner') =>
  post(app, path, fields, { cookie: people[role].cookie });
const rules = async () => (await inShop(app.db, shopId, readShopSettings)).rules;

describe('contract: the page of the rules of thumb', () => {
  it('is the owner’s alone', async () => {
    for (const role of ['technician', 'desk'] as const) {
      for (const path of ['/findings/rules', '/findings/rules/passes.heavy', '/findings/rules.csv'])
        expect((await get(app, path, people[role].cookie)).status, `${role} ${path}`).toBe(403);
      const fields = { 'middle:number': '2', 'within:number': '2' };
      expect((await send('/findings/rules/passes.heavy', fields, role)).status).toBe(403);
      expect((await send('/findings/rules/passes.heavy/reset', {}, role)).status).toBe(403);
    }
    expect(await rules()).toEqual({});
  });

  it('shows every rule in its own words with where it is from, before anything is learnt too', async () => {
    const page = await html('/findings/rules?figure=water');
    expect(page).toContain('Nothing is learnt yet');
    expect(page).toContain('Twice the wet passes leave half as much again');
    expect(page).toContain('common practice, with no published source');
    expect((await html('/findings/rules.csv')).split('\r\n')[0]).toBe(
      'rule,figure,name,measure,adjusted,rule_of_thumb_p05,rule_of_thumb_middle,rule_of_thumb_p95,learnt_p05,learnt_middle,learnt_p95,own_share',
    );
  });

  it('tells the effort of ordinary seats as such, and why the passes of estimates are more', async () => {
    for (const path of ['/findings/rules?figure=passes', '/findings/rules/passes.int']) {
      const page = await html(path);
      expect(page).toMatch(/1\.38 passes of effort \(1\.13 to 1\.68\)/);
      expect(page).toContain('what comes clean in two passes had an effort between 1 and 2');
      expect(page).not.toMatch(/1\.38 passes(?! of effort)/);
    }
    expect(await html('/findings/rules?figure=labour')).not.toContain('effort');
  });

  it('makes no rule one’s own that is sent as it was shown', async () => {
    const oneOfEachKind = new Map(rulesOfThumb.map(({ kind, id }) => [kind, id])).values();
    for (const id of ['passes.heavy', 'water.int', ...oneOfEachKind]) {
      const page = await html(`/findings/rules/${id}`);
      const shown = [...page.matchAll(/name="((?:middle|within):\w+)" value="([^"]+)"/g)].map(([, name, value]) => [
        name,
        value,
      ]);
      expect(shown.length, id).toBeGreaterThan(0);
      const sent = await send(`/findings/rules/${id}`, Object.fromEntries(shown));
      expect(sent.headers.get('location'), id).toMatch(/&unchanged$/);
    }
    expect(await rules()).toEqual({});
    expect(await html('/findings/rules?figure=passes&unchanged')).toContain('Nothing was changed');
  });

  it('stores an adjustment as the interface for programs would, beside the others, and takes it back', async () => {
    const stored = await send('/findings/rules/passes.heavy', { 'middle:number': '1,8', 'within:number': '1.2' });
    expect([stored.status, stored.headers.get('location')]).toEqual([303, '/findings/rules?figure=passes&stored']);
    await send('/findings/rules/giving-up.3', { 'middle:number': '10', 'within:number': '20' });
    const own = await rules();
    // ln 1.8; ln 1.2 / 1.644854 (the normal's 95 % quantile); sqrt(0.1 × 0.9 / 21).
    expect(own['passes.heavy']?.mean).toBeCloseTo(0.587787, 6);
    expect(own['passes.heavy']?.sd).toBeCloseTo(0.110844, 6);
    expect(own['giving-up.3']?.mean).toBeCloseTo(0.1, 9);
    expect(own['giving-up.3']?.sd).toBeCloseTo(0.065465, 6);
    expect(await html('/findings/rules?figure=passes')).toContain('adjusted by you');
    const page = await html('/findings/rules/passes.heavy');
    expect(page).toContain('value="1.8"');
    expect(page).toContain('Back to the program’s own');
    expect((await send('/findings/rules/passes.heavy/reset', {})).status).toBe(303);
    expect(Object.keys(await rules())).toEqual(['giving-up.3']);
    expect(await html('/findings/rules/passes.heavy')).not.toContain('Back to the program’s own');
  });

  it('stores nothing over what another owner has made of a rule since, and says what that is', async () => {
    const path = '/findings/rules/passes.heavy';
    const opened = formAsSent(await html(path), `<form class="stack" method="post" action="${path}"`);
    const sent = { ...Object.fromEntries(opened), 'within:number': '3' };
    await send(path, { 'middle:number': '1.9', 'within:number': '1.3' });
    const theirs = await rules();
    const answer = await send(path, sent);
    expect(answer.status).toBe(412);
    expect(await rules()).toEqual(theirs);
    const page = await answer.text();
    expect(page).toMatch(
      /<li>In the middle: now 1.9; it was [\d.]+<\/li><li>Nine times in ten within: now 1.3; it was/,
    );
    const again = formAsSent(page, `<form class="stack" method="post" action="${path}"`);
    expect(Object.fromEntries(again)).toMatchObject({ 'middle:number': '1.9', 'within:number': '3' });
    expect((await send(path, Object.fromEntries(again))).status).toBe(303);
    expect((await rules())['passes.heavy']?.mean).toBeCloseTo(Math.log(1.9), 6);
    expect((await rules())['passes.heavy']?.sd).toBeCloseTo(Math.log(3) / 1.644854, 6);
    await send(`${path}/reset`, {});
  });

  it('takes water in the units of the shop', async () => {
    await send('/findings/rules/water.int', { 'middle:litresPerM2': '0.4', 'within:number': '1.5' });
    expect((await rules())['water.int']?.mean).toBeCloseTo(Math.log(0.4), 9);
  });

  it('says at the field what cannot be, keeps what was typed, and stores nothing', async () => {
    const before = await rules();
    const answer = await send('/findings/rules/passes.high', { 'middle:number': '-1', 'within:number': 'much' });
    const page = await answer.text();
    expect(answer.status).toBe(422);
    expect(page).toContain('id="field-middle-wrong"');
    expect(page).toContain('id="field-within-wrong"');
    expect(page).toContain('value="much"');
    const empty = await send('/findings/rules/passes.high', { 'middle:number': '', 'within:number': '2' });
    expect(empty.status).toBe(422);
    expect((await send('/findings/rules/passes.nonsense', { 'middle:number': '1' })).status).toBe(404);
    expect((await get(app, '/findings/rules/passes.nonsense', people.owner.cookie)).status).toBe(404);
    expect(await rules()).toEqual(before);
  });
});
