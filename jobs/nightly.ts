/** `npm run nightly`: every shop's run now, one after the other; a shop that breaks down does not stop the next. */
import { randomUUID } from 'node:crypto';
import { runCommand } from '../db/command.ts';
import { openDatabase } from '../db/open.ts';
import { readSettings } from '../src/settings.ts';
import { listShopsForNightly } from '../src/store/shops.ts';
import { runShop } from './run-shop.ts';

await runCommand(async () => {
  const { databaseUrl, dataDir } = readSettings();
  const db = await openDatabase({ databaseUrl, dataDir, whenInUse: 'join', onProgress: console.error });
  const broken: string[] = [];
  try {
    for (const { shopId } of await listShopsForNightly(db)) {
      try {
        const { status, fitId } = await runShop({ db, now: () => new Date() }, shopId, randomUUID());
        console.log(`${shopId} ${status} ${fitId}`);
      } catch (error) {
        broken.push(shopId);
        console.error(`${shopId} broke down: ${String(error)}`);
      }
    }
  } finally {
    await db.close();
  }
  if (broken.length > 0)
    throw new Error(`${broken.length} of the shops' runs broke down; what was published before stays`);
});
