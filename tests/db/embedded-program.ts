/** A program that uses a data folder, for the tests to start, watch and kill: `FOLDER hold|join|commit`. */
import { openDatabase } from '../../db/open.ts';
import { inShop } from '../../src/store/shop-scope.ts';
import { createShop } from '../../src/store/shops.ts';

const [dataDir = '', task] = process.argv.slice(2);
const db = await openDatabase({ dataDir, whenInUse: task === 'join' ? 'join' : 'refuse' }).catch((error: Error) => {
  console.log(`refused ${error.message}`);
  return process.exit(1);
});
process.once('SIGTERM', () => db.close().then(() => console.log('closed')));
console.log(`open ${process.pid}`);

if (task === 'commit') {
  const { shopId } = await createShop(db, { name: 'Invented', timeZone: 'UTC', invented: true });
  console.log(`shop ${shopId}`);
  await Promise.all(Array.from({ length: 4 }, (_, lane) => commitForEver(shopId, lane)));
}

/** Says a row's key only after the database has acknowledged it. */
async function commitForEver(shopId: string, lane: number): Promise<void> {
  for (let n = 0; ; n += 1) {
    const key = `${lane}-${n}`;
    await inShop(
      db,
      shopId,
      (tx) => tx.sql`insert into technician (shop_id, key, name) values (${shopId}, ${key}, 'x')`,
    );
    process.stdout.write(`ack ${key}\n`);
  }
}
