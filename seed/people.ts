/** Three people who do not exist, one a role, and links that sign in as each of them. */
import type { NewPerson } from '../src/domain/person.ts';
import { roles } from '../src/domain/vocabulary.ts';
import { createSignInLink } from '../src/store/entry-links.ts';
import { readTechnicians } from '../src/store/lists.ts';
import { addPerson, listPeople } from '../src/store/people.ts';
import { type Database, inShop, type ShopTransaction } from '../src/store/shop-scope.ts';

/** One path a role, each good for one sign-in; those of the start before stop working. */
export async function demoEntrances(
  db: Database,
  shopId: string,
  now: Date,
): Promise<readonly { readonly role: string; readonly path: string }[]> {
  await inShop(db, shopId, addDemoPeople);
  const made = [];
  for (const role of roles) made.push({ role, path: await createSignInLink(db, shopId, role, now) });
  return made;
}

async function addDemoPeople(tx: ShopTransaction): Promise<void> {
  if ((await listPeople(tx)).length > 0) return;
  const someone = (await readTechnicians(tx)).find(({ until }) => until === undefined);
  const people: readonly NewPerson[] = [
    ...(someone
      ? [{ name: someone.name, signInName: someone.key, role: 'technician', technician: someone.key } as const]
      : []),
    { name: 'Front desk (invented)', signInName: 'desk', role: 'desk' },
    { name: 'Owner (invented)', signInName: 'owner', role: 'owner' },
  ];
  for (const person of people) await addPerson(tx, person);
}
