import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type AppUnderTest, startApp } from '../http/app-under-test.ts';
import { get, post, type SignedIn, signedIn } from './pages-under-test.ts';

let app: AppUnderTest;
let owner: SignedIn;
beforeAll(async () => {
  app = await startApp();
  const { shopId } = await app.openShop();
  owner = await signedIn(app, shopId, 'owner');
});
afterAll(() => app.close());

describe('contract: an address that names nothing there is', () => {
  it.each([
    '/estimate/ID',
    '/estimate/ID/customer',
    '/jobs/new?estimate=ID',
    '/jobs/new?like=ID',
    '/records/job?ref=ID',
    '/records/job/mend?ref=ID',
    '/records/job/take-out?ref=ID',
    '/records/job/version?ref=ID&version=1',
    '/import/ID/columns',
    '/people/ID',
    '/machines/ID',
    '/technicians/ID',
    '/findings/fits/ID',
    '/findings/rules/ID',
  ])('%s is answered as not found, also where PostgreSQL’s text could not hold it', async (path) => {
    for (const id of ['none', '%00', '00000000-0000-4000-8000-000000000000'])
      expect((await get(app, path.replace('ID', id), owner.cookie)).status, id).toBe(404);
  });

  it('begins anew where no estimate is of that id', async () => {
    for (const path of ['/estimates?before=%00', '/estimates?before=none', '/estimate?like=%00'])
      expect((await get(app, path, owner.cookie)).status, path).toBe(200);
  });

  it('shows the page itself where it names what PostgreSQL could not hold', async () => {
    const place = 'at=0000-01-01T00:00:00Z&before=00000000-0000-4000-8000-000000000000';
    for (const path of ['/jobs/recent?stored=%00', `/findings/fits?${place}`])
      expect((await get(app, path, owner.cookie)).status, path).toBe(200);
  });

  it('asks for another day where it names one of a year that PostgreSQL does not know', async () => {
    const page = await get(app, '/export/records?from=0000-01-01', owner.cookie);
    expect(page.status).toBe(422);
  });
});

describe('contract: a form that names what PostgreSQL’s text cannot hold', () => {
  it('is answered as not found', async () => {
    const sent = { ref: '\0', 'dry:flag': 'yes' };
    expect((await post(app, '/jobs/recent', sent, { cookie: owner.cookie })).status).toBe(404);
  });
});
