import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type AppUnderTest, startApp } from '../http/app-under-test.ts';
import { get, type SignedIn, signedIn } from './pages-under-test.ts';

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
});
