import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Machine } from '../../src/domain/lists.ts';
import type { Role } from '../../src/domain/vocabulary.ts';
import { putTechnicians } from '../../src/store/lists.ts';
import { listPeople } from '../../src/store/people.ts';
import { listSessions } from '../../src/store/sessions.ts';
import { inShop } from '../../src/store/shop-scope.ts';
import { readShop, readShopSettings, replaceShopSettings } from '../../src/store/shops.ts';
import { type AppUnderTest, now, read as readJson, startApp } from '../http/app-under-test.ts';
import { anotherWaits } from '../support/database.ts';
import { formAsSent } from './form-as-sent.ts';
import { cookieOf, get, post, type SignedIn, signedIn, textOf } from './pages-under-test.ts';

let app: AppUnderTest;
let shopId: string;
let ownerKey: string;
let people: Record<Role, SignedIn>;
beforeAll(async () => {
  app = await startApp();
  const shop = await app.openShop();
  shopId = shop.shopId;
  ownerKey = shop.keys.owner;
  const make = (role: Role) => signedIn(app, shopId, role);
  people = { technician: await make('technician'), desk: await make('desk'), owner: await make('owner') };
});
afterAll(() => app.close());

const owner = () => ({ cookie: people.owner.cookie });
/** The form of that page as its browser would send it, nothing touched. */
const asOpened = async (path: string, { cookie }: SignedIn) =>
  fieldsOf(await (await get(app, path, cookie)).text(), path);
const fieldsOf = (html: string, path: string): Record<string, string> =>
  Object.fromEntries(formAsSent(html, `<form class="stack" method="post" action="${path}"`));
const linkIn = (html: string) => /\/(?:invite)\/spl_[\w-]+/.exec(html)?.[0] ?? 'no link';

/** What strangers may see; every other page asks who is there. */
const open = ['/', '/sign-in', '/sign-out', '/enter/:token', '/invite/:token', '/assets/:file'];
const forPrograms = /^\/(v1\/|openapi\.json|docs|healthz|readyz|metrics)/;

describe('contract: who sees what', () => {
  it('shows no page to a stranger but those of signing in', async () => {
    const pages = app.routes
      .map((route) => route.split(' ') as [string, string])
      .filter(([, p]) => !forPrograms.test(p));
    expect(pages.length).toBeGreaterThan(20);
    for (const [method, path] of pages.filter(([, p]) => !open.includes(p))) {
      const address = path.replace(/:\w+/g, 'x');
      const answer = method === 'GET' ? await get(app, address) : await post(app, address, {});
      const where = answer.headers.get('location') ?? '';
      if (method === 'GET') expect([answer.status, where.split('?')[0]], path).toEqual([303, '/sign-in']);
      else expect(answer.status, path).toBe(401);
    }
  });

  it('answers a script that is not signed in, or may not, by a problem', async () => {
    const stranger = await app.call('GET', '/people');
    expect([stranger.status, stranger.headers.get('content-type')]).toEqual([401, 'application/problem+json']);
    const technician = await app.call('GET', '/people', { headers: { Cookie: people.technician.cookie } });
    expect([technician.status, technician.headers.get('content-type')]).toEqual([403, 'application/problem+json']);
  });

  it('lets technician and desk change nothing of the owner’s', async () => {
    for (const role of ['technician', 'desk'] as const)
      for (const path of [
        '/people',
        '/keys',
        '/setup',
        '/technicians',
        '/machines',
        `/people/${people.owner.personId}/role`,
      ])
        expect((await post(app, path, { role: 'technician' }, people[role])).status, `${role} ${path}`).toBe(403);
  });

  it('knows nobody of another shop', async () => {
    const other = await app.openShop();
    const stranger = await signedIn(app, other.shopId, 'owner');
    for (const path of [`/people/${people.desk.personId}`, `/people/not-an-id`])
      expect((await get(app, path, stranger.cookie)).status).toBe(404);
    expect((await post(app, `/people/${people.desk.personId}/let-go`, {}, stranger)).status).toBe(404);
  });

  it('refuses a policy with anything inline, and is kept by no cache', async () => {
    const { headers } = await get(app, '/people', people.owner.cookie);
    const policy = headers.get('content-security-policy') ?? '';
    expect(policy).toContain("default-src 'none'");
    expect(policy).not.toMatch(/unsafe|https?:|data:|\*/);
    expect(headers.get('cache-control')).toBe('no-store');
    const page = await (await get(app, '/people', people.owner.cookie)).text();
    expect(page).not.toMatch(/<style|\sstyle=|\son\w+=|<script(?![^>]*src=)/);
    const style = /href="(\/assets\/style\.[^"]+)"/.exec(page)?.[1] ?? '';
    expect((await get(app, style)).headers.get('cache-control')).toContain('immutable');
  });
});

describe('contract: the page of the people', () => {
  it('invites by a link that is shown once', async () => {
    const made = await post(app, '/people', { name: 'Invented Nia', signInName: 'Nia', role: 'desk' }, owner());
    expect(made.status).toBe(200);
    const link = linkIn(await made.text());
    expect(await (await get(app, '/people', people.owner.cookie)).text()).not.toContain('spl_');
    const accepted = await post(app, link, { password: 'seven dry towels', again: 'seven dry towels' });
    expect((await get(app, '/start', cookieOf(accepted))).status).toBe(200);
    expect((await get(app, '/people', cookieOf(accepted))).status).toBe(403);
  });

  it('gives a form back with its faults at the fields and what was typed, harmless however it was meant', async () => {
    const name = '<script>alert(1)</script>"';
    const answer = await post(app, '/people', { name, signInName: 'no spaces here', role: 'boss' }, owner());
    expect(answer.status).toBe(422);
    const html = await answer.text();
    expect(html).not.toContain('<script>');
    expect(html).toContain('value="&lt;script&gt;alert(1)&lt;/script&gt;&quot;"');
    expect(html).toContain('id="field-signInName-wrong"');
    expect(html).toContain('id="field-role-wrong"');
    const taken = await post(app, '/people', { name: 'x', signInName: 'nia', role: 'desk' }, owner());
    expect(await taken.text()).toContain('>Sign-in name is &quot;nia&quot;: somebody has this sign-in name already');
    const unknown = { name: 'x', signInName: 'y1', role: 'desk', technician: 'nobody' };
    expect(await (await post(app, '/people', unknown, owner())).text()).toContain('nobody in the list');
  });

  it('ties a person to the list of technicians', async () => {
    await inShop(app.db, shopId, (tx) => putTechnicians(tx, [{ key: 'tia', name: 'Invented Tia' }]));
    await post(app, '/people', { name: 'Tia', signInName: 'tia', role: 'technician', technician: 'tia' }, owner());
    const all = await inShop(app.db, shopId, listPeople);
    expect(all.find(({ signInName }) => signInName === 'tia')).toMatchObject({ technician: 'tia', hasPassword: false });
  });

  it('ends one session, and all of a person', async () => {
    const desk = await signedIn(app, shopId, 'desk');
    const sessions = await inShop(app.db, shopId, (tx) => listSessions(tx, now, desk.personId));
    const path = `/sessions/${sessions[0]?.sessionId}/end`;
    expect((await post(app, path, {}, people.technician)).status).toBe(404);
    expect((await post(app, path, {}, owner())).status).toBe(303);
    expect((await get(app, '/start', desk.cookie)).status).toBe(303);
    expect((await post(app, `/people/${people.desk.personId}/end-sessions`, {}, owner())).status).toBe(303);
    expect((await get(app, '/start', people.desk.cookie)).status).toBe(303);
  });

  it('gives no role over one that another owner has given since, and says which that is', async () => {
    const { personId } = await signedIn(app, shopId, 'desk');
    const path = `/people/${personId}`;
    const form = (html: string) => fieldsOf(html, `${path}/role`);
    const sent = { ...form(await (await get(app, path, people.owner.cookie)).text()), role: 'owner' };
    expect((await post(app, `${path}/role`, { role: 'technician' }, owner())).status).toBe(303);
    const answer = await post(app, `${path}/role`, sent, owner());
    expect(answer.status).toBe(412);
    const html = await answer.text();
    expect(html).toContain(
      'now Technician: records jobs; it was Desk: also makes estimates, looks jobs up and reads the findings</li>',
    );
    const role = async () => (await inShop(app.db, shopId, listPeople)).find((one) => one.personId === personId)?.role;
    expect(await role()).toBe('technician');
    expect((await post(app, `${path}/role`, form(html), owner())).status).toBe(303);
    expect(await role()).toBe('owner');
    await post(app, `${path}/let-go`, {}, owner());
  });

  it('keeps the last owner', async () => {
    for (const end of ['role', 'let-go']) {
      const answer = await post(app, `/people/${people.owner.personId}/${end}`, { role: 'desk' }, owner());
      expect(answer.status).toBe(409);
      expect(await answer.text()).toContain('last owner');
    }
  });
});

describe('contract: one’s own page', () => {
  it('changes the password and signs out elsewhere, or everywhere', async () => {
    const made = await post(app, '/people', { name: 'Invented Oda', signInName: 'oda', role: 'desk' }, owner());
    const [first, second] = ['seven dry towels', 'eight dry towels'];
    const here = cookieOf(await post(app, linkIn(await made.text()), { password: first, again: first }));
    // The server has two shops by now, and a new browser has been to none of them.
    const signIn = (password: string) =>
      post(app, '/sign-in', { signInName: 'oda', password, shopCode: shopId.slice(0, 8) });
    const there = cookieOf(await signIn(first));
    expect((await get(app, '/start', there)).status).toBe(200);
    const change = (former: string) =>
      post(app, '/account/password', { former, password: second, again: second }, { cookie: here });
    expect((await change('not the former')).status).toBe(422);
    expect((await change(first)).status).toBe(303);
    expect((await get(app, '/start', here)).status).toBe(200);
    expect((await get(app, '/start', there)).status).toBe(303);
    expect((await signIn(first)).status).toBe(401);
    expect((await signIn(second)).status).toBe(303);
    expect((await post(app, '/sign-out-everywhere', {}, { cookie: here })).status).toBe(303);
    expect((await get(app, '/start', here)).status).toBe(303);
  });
});

describe('contract: the page of the keys', () => {
  it('makes a key that works, shows it once, and revokes it at once', async () => {
    const made = await post(app, '/keys', { label: 'counter (invented)', role: 'desk' }, owner());
    const key = /spk_[\w-]+/.exec(await made.text())?.[0] ?? '';
    expect((await app.call('GET', '/v1/settings', { key })).status).toBe(200);
    expect(await (await get(app, '/keys', people.owner.cookie)).text()).not.toContain(key);
    const keyId = key.split('_')[2];
    expect((await post(app, `/keys/${keyId}/revoke`, {}, owner())).status).toBe(303);
    expect((await app.call('GET', '/v1/settings', { key })).status).toBe(401);
    expect((await post(app, `/keys/${keyId}/revoke`, {}, owner())).status).toBe(404);
  });
});

describe('contract: a name that no line could hold', () => {
  it('is a fault of the form, for a person and a key', async () => {
    const name = 'Invented\u0000Nell';
    const person = { name, signInName: 'nell', role: 'desk' };
    expect((await post(app, '/people', person, owner())).status).toBe(422);
    expect((await post(app, '/keys', { label: name, role: 'desk' }, owner())).status).toBe(422);
  });
});

describe('contract: setting up', () => {
  const settings = {
    name: 'Renamed (invented)',
    timeZone: 'America/Denver',
    units: 'us',
    currency: 'USD',
    'labourRate:number': '55,5',
    'materials:number': '12',
    'overrunPercent:number': '10',
  };

  it('stores what the interface for programs reads, and keeps the rules of thumb', async () => {
    const rules = { 'passes.high': { mean: -0.2 } };
    await app.call('PUT', '/v1/settings', { key: ownerKey, json: { rules } });
    expect((await post(app, '/setup', settings, owner())).status).toBe(303);
    const stored = await app.call('GET', '/v1/settings', { key: ownerKey });
    expect(await stored.json()).toEqual({
      labourRate: 55.5,
      materials: 12,
      currency: 'USD',
      overrunRisk: 0.1,
      units: 'us',
      rules,
    });
    expect(await inShop(app.db, shopId, readShop)).toMatchObject({ timeZone: 'America/Denver', name: settings.name });
  });

  it('takes no name of a shop that no line could hold', async () => {
    const name = 'Renamed\u0000 (invented)';
    expect((await post(app, '/setup', { ...settings, name }, owner())).status).toBe(422);
  });

  it('keeps a rule of thumb that another owner adjusts in the same moment', async () => {
    const rules = { 'passes.high': { mean: 0.3 } };

    const answer = await inShop(app.db, shopId, async (tx) => {
      await replaceShopSettings(tx, { ...(await readShopSettings(tx)), rules });
      const sent = post(app, '/setup', { ...settings, 'labourRate:number': '61' }, owner());
      await anotherWaits(tx);
      return { sent };
    });
    expect((await answer.sent).status).toBe(303);
    expect(await inShop(app.db, shopId, readShopSettings)).toMatchObject({ labourRate: 61, rules });
  });

  it('stores nothing over what another owner has stored since, says what that is, and keeps what was typed', async () => {
    const fresh = await app.openShop();
    const one = await signedIn(app, fresh.shopId, 'owner');
    const stored = () => inShop(app.db, fresh.shopId, readShopSettings);
    const sent = await asOpened('/setup', one).then((form) => ({ ...form, 'labourRate:number': '61' }));
    const theirs = { labourRate: 45, currency: 'USD', units: 'us', overrunRisk: 0.137 } as const;
    await app.call('PUT', '/v1/settings', { key: fresh.keys.owner, json: theirs });
    const answer = await post(app, '/setup', sent, one);
    expect(answer.status).toBe(412);
    expect(await stored()).toMatchObject(theirs);
    const html = await answer.text();
    expect(html).toContain('<li>Price of one hour of work: now 45; it was 40</li>');
    expect(html).toContain('<li>Currency: now USD; it was EUR</li>');
    expect(html).toContain('<li>Units: now Gallons, square feet, °F; it was Litres, square metres, °C</li>');
    expect(html).not.toContain('<li>Materials');
    const again = fieldsOf(html, '/setup');
    expect(again).toMatchObject({ 'labourRate:number': '61', currency: 'USD', 'overrunPercent:number': '13.7' });
    expect((await post(app, '/setup', again, one)).status).toBe(303);
    expect(await stored()).toMatchObject({ ...theirs, labourRate: 61 });
  });

  it('takes for no difference what both have stored alike, as by two presses of the button', async () => {
    const fresh = await app.openShop();
    const one = await signedIn(app, fresh.shopId, 'owner');
    const sent = { ...(await asOpened('/setup', one)), 'labourRate:number': '61' };
    for (const _press of [1, 2]) expect((await post(app, '/setup', sent, one)).status).toBe(303);
  });

  it('keeps a currency that the program’s own list does not have yet', async () => {
    const fresh = await app.openShop();
    await app.call('PUT', '/v1/settings', { key: fresh.keys.owner, json: { currency: 'XQX' } });
    const html = await (await get(app, '/setup', (await signedIn(app, fresh.shopId, 'owner')).cookie)).text();
    expect(html).toContain('<option value="XQX" selected="">');
  });

  it('says at the field what cannot be, and stores nothing', async () => {
    const bad = { ...settings, timeZone: 'Nowhere/Town', 'labourRate:number': '', 'overrunPercent:number': 'few' };
    const answer = await post(app, '/setup', bad, owner());
    expect(answer.status).toBe(422);
    const html = await answer.text();
    for (const field of ['timeZone', 'labourRate', 'overrunPercent'])
      expect(html).toContain(`id="field-${field}-wrong"`);
    expect(html).toContain('>Price of one hour of work is missing: a number');
    expect(html).toContain('>How many jobs may run over is &quot;few&quot;: a number from 1 to 99</a>');
    expect(html).toContain('value="few"');
  });

  it('adds and changes a machine, typed in the units of the shop and stored in SI', async () => {
    const lift = { 'waterLiftKpa:kilopascals': '100', 'airflowM3h:airflowM3h': '100' };
    expect(
      (await post(app, '/machines', { name: 'Blue Drum (invented)', grade: 'high', ...lift }, owner())).status,
    ).toBe(303);
    const read = async () =>
      (await readJson<readonly Machine[]>(await app.call('GET', '/v1/machines', { key: ownerKey })))[0];
    const stored = await read();
    expect(stored).toMatchObject({ key: 'blue-drum-invented', grade: 'high', kind: 'extractor' });
    // 1 inch of water is 0.24908891 kPa (GNU units 2.22), 1 ft³/min is 1.69901 m³/h (0.3048³ × 60).
    expect(stored?.waterLiftKpa).toBeCloseTo(24.908891, 6);
    expect(stored?.airflowM3h).toBeCloseTo(169.901, 3);
    const page = await (await get(app, '/machines/blue-drum-invented', people.owner.cookie)).text();
    expect(page).toContain('value="100"');
    // As another program gave it, in kPa: the field shows 117.6 inches of water, which are 29.293 kPa.
    await app.call('PUT', '/v1/machines', { key: ownerKey, json: [{ ...stored, waterLiftKpa: 29.3 }] });
    const renamed = { name: 'Drum', grade: 'high', 'airflowM3h:airflowM3h': '100' };
    await post(app, '/machines/blue-drum-invented', { ...renamed, 'waterLiftKpa:kilopascals': '117.6' }, owner());
    expect(await read()).toMatchObject({ name: 'Drum', waterLiftKpa: 29.3 });
    const ended = {
      name: 'Blue Drum',
      grade: 'high',
      'heated:flag': 'yes',
      from: '2024-01-01',
      until: '2025-01-01',
      ...lift,
    };
    expect((await post(app, '/machines/blue-drum-invented', ended, owner())).status).toBe(303);
    expect(await read()).toMatchObject({ name: 'Blue Drum', heated: true, until: '2025-01-01' });
    expect(await (await get(app, '/machines', people.owner.cookie)).text()).toMatch(
      /Blue Drum, blue-drum-invented, until (1 January|January 1,) 2025/,
    );
  });

  it('stores nothing of one of a list over what was stored since, says what that is, and keeps what was typed', async () => {
    const { shopId: id, keys } = await app.openShop();
    const one = await signedIn(app, id, 'owner');
    const ana = { key: 'ana', name: 'Invented Ana', from: '2024-01-01' };
    const drum = { key: 'drum', name: 'Drum', kind: 'extractor', grade: 'high', waterLiftKpa: 29.3456, heated: false };
    const lists = { technicians: ana, machines: drum };
    const theirs = { technicians: { until: '2025-02-28' }, machines: { heated: true, price: 900.1234 } };
    const told = {
      technicians: [/<li>Until: now (28 February|February 28,) 2025; it was nothing<\/li>/],
      machines: [
        /<li>Heats its solution: now yes; it was no<\/li>/,
        /<li>Price when bought: now 900.123; it was nothing/,
      ],
    };
    for (const list of ['technicians', 'machines'] as const) {
      const [api, path] = [`/v1/${list}`, `/${list}/${lists[list].key}`];
      const put = (json: object) => app.call('PUT', api, { key: keys.owner, json: [json] });
      const stored = async () => (await readJson<object[]>(await app.call('GET', api, { key: keys.owner })))[0];
      await put(lists[list]);
      const sent = { ...(await asOpened(path, one)), name: 'Renamed' };
      await put({ ...lists[list], ...theirs[list] });
      const answer = await post(app, path, sent, one);
      expect(answer.status, list).toBe(412);
      expect(await stored()).toEqual({ ...lists[list], ...theirs[list] });
      const html = await textOf(answer);
      for (const line of told[list]) expect(html).toMatch(line);
      expect(html.match(/<li>[^<]*; it was /g)).toHaveLength(told[list].length);
      expect((await post(app, path, fieldsOf(html, path), one)).status).toBe(303);
      expect(await stored()).toEqual({ ...lists[list], ...theirs[list], name: 'Renamed' });
    }
  });

  it('waits for whoever changes one of a list in the same moment', async () => {
    const { shopId: id } = await app.openShop();
    const one = await signedIn(app, id, 'owner');
    const ana = { key: 'ana', name: 'Invented Ana' };
    await inShop(app.db, id, (tx) => putTechnicians(tx, [ana]));
    const sent = { ...(await asOpened('/technicians/ana', one)), name: 'Renamed' };
    const { answer } = await inShop(app.db, id, async (tx) => {
      await putTechnicians(tx, [{ ...ana, until: '2025-02-28' }]);
      const begun = post(app, '/technicians/ana', sent, one);
      await anotherWaits(tx);
      return { answer: begun };
    });
    expect((await answer).status).toBe(412);
  });

  it('refuses a second of the same short name, an end before the beginning, and one that is not there', async () => {
    const nameless = await (await post(app, '/technicians', { name: '' }, owner())).text();
    expect(nameless).toMatch(/One thing is to be mended:.*>Name is missing: text/);
    const again = await post(app, '/technicians', { name: 'Another', key: 'tia' }, owner());
    expect(await again.text()).toContain('>Short name in records is &quot;tia&quot;: in the list already</a>');
    const span = { name: 'Ulf', key: 'ulf', from: '2025-02-01', until: '2025-01-01' };
    const backwards = await post(app, '/technicians', span, owner());
    expect(backwards.status).toBe(422);
    expect(await backwards.text()).toContain('id="field-until-wrong"');
    expect((await post(app, '/technicians/nobody', { name: 'X' }, owner())).status).toBe(404);
  });
});
