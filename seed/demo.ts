import { machine, technician } from '../src/domain/lists.ts';
import { checkRecord, type RecordContext } from '../src/domain/record-rules.ts';
import { putMachines, putTechnicians } from '../src/store/lists.ts';
import { insertRecords, type RecordRow, rowOf } from '../src/store/records.ts';
import { type Database, inShop } from '../src/store/shop-scope.ts';
import { createShop, listShopsForNightly, readShop } from '../src/store/shops.ts';
import { type DemoShop, demoShop } from './shop.ts';

export interface DemoMeans {
  readonly db: Database;
  readonly now: () => Date;
  /** Takes a line of progress. */
  readonly log: (line: string) => void;
}

/**
 * The invented shop in the database, made where it is not there yet, with its history up to yesterday. Its lists and jobs are
 * stored in one transaction: after a crash it is whole or empty, and an empty one is filled by the next call.
 */
export async function createDemo({ db, now, log }: DemoMeans): Promise<{ shopId: string; created: boolean }> {
  const demo = demoShop(demoSeed, now().toISOString().slice(0, 10));
  const shopId = (await findDemo(db, demo)) ?? (await createShop(db, { ...demo.shop, invented: true })).shopId;
  const created = await fillDemo(db, shopId, demo, now());
  log(`${demo.shop.name}: ${created ? `${demo.records.length} invented jobs stored` : 'there already'}`);
  return { shopId, created };
}

async function findDemo(db: Database, { shop }: DemoShop): Promise<string | undefined> {
  for (const { shopId } of await listShopsForNightly(db)) {
    const found = await inShop(db, shopId, readShop);
    if (found?.invented && found.name === shop.name) return shopId;
  }
  return undefined;
}

async function fillDemo(db: Database, shopId: string, demo: DemoShop, now: Date): Promise<boolean> {
  return inShop(db, shopId, async (tx) => {
    const [first] = await tx.sql`select ref from job where shop_id = ${shopId} limit 1`;
    if (first) return false;
    await putTechnicians(
      tx,
      demo.technicians.map((listed) => technician.parse(listed)),
    );
    await putMachines(
      tx,
      demo.machines.map((listed) => machine.parse(listed)),
    );
    await insertRecords(tx, checkedRows(demo, now));
    return true;
  });
}

/** The demonstration goes through the same rules as any upload: a record that breaks one is a fault of this folder. */
function checkedRows({ technicians, machines, records }: DemoShop, now: Date): RecordRow[] {
  const context: RecordContext = { now, technicians: keysOf(technicians), machines: keysOf(machines) };
  return records.map((record) => {
    const checked = checkRecord(record, context);
    if (!checked.ok) throw new Error(`${record.ref} of the invented shop: ${JSON.stringify(checked.faults)}`);
    return rowOf(checked.record);
  });
}

function keysOf(list: readonly { readonly key: string }[]): ReadonlySet<string> {
  return new Set(list.map(({ key }) => key));
}

const demoSeed = 7;
