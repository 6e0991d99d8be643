/** `npm run demo`: the invented shop in the database, learnt from once, with a fresh key and a first estimate. */
import { randomUUID } from 'node:crypto';
import { runShop } from '../jobs/run-shop.ts';
import { createKey, listKeys, revokeKey } from '../src/store/keys.ts';
import { type Database, inShop } from '../src/store/shop-scope.ts';
import { createDemo } from './demo.ts';
import { firstEstimate } from './first-estimate.ts';
import { demoEntrances } from './people.ts';

const keyLabel = 'demonstration';

/**
 * What is to be printed once the server has an address: the first estimate, links that sign in, and an owner key. Each
 * start makes new ones and revokes those of the start before, since only hashes are kept.
 */
export async function prepareDemo(
  db: Database,
  now: () => Date,
  say: (line: string) => void,
): Promise<(address: string) => readonly string[]> {
  const { shopId } = await createDemo({ db, now, log: say });
  say('Learning from its jobs …');
  const { status } = await runShop({ db, now }, shopId, randomUUID());
  say(`Nightly run: ${status}`);
  const estimate = await firstEstimate(db, shopId, now());
  const entrances = await demoEntrances(db, shopId, now());
  const key = await renewKey(db, shopId);
  return (address) => [
    '',
    'A first estimate, for a shop, people and machines that are invented:',
    'a sedan’s front and rear cloth seats, moderate soil, taken out, extracted with grey-barrel.',
    ...estimate,
    '',
    'Open one of these in a browser to look around; each signs in once:',
    ...entrances.map(({ role, path }) => `${role.padEnd(10)}  ${address}${path}`),
    '',
    `Owner key of the invented shop: ${key}`,
  ];
}

async function renewKey(db: Database, shopId: string): Promise<string> {
  return inShop(db, shopId, async (tx) => {
    const former = (await listKeys(tx)).filter(({ label, revokedAt }) => label === keyLabel && revokedAt === null);
    for (const { keyId } of former) await revokeKey(tx, keyId);
    const { text } = await createKey(tx, { role: 'owner', label: keyLabel });
    return text;
  });
}
