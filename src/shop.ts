/** `npm run shop -- create|invite|key|list|revoke`: shops, who may sign in, and keys, also while the program runs on the same data. */
import { parseArgs } from 'node:util';
import { z } from 'zod';
import { runCommand } from '../db/command.ts';
import { openDatabase } from '../db/open.ts';
import { newPerson, signInName } from './domain/person.ts';
import { newShop } from './domain/shop.ts';
import { shopSettings } from './domain/shop-settings.ts';
import { shownName } from './domain/shown-name.ts';
import { roles } from './domain/vocabulary.ts';
import { readSettings, type Settings } from './settings.ts';
import { makeLink } from './store/entry-links.ts';
import { createKey, listKeys, revokeKey } from './store/keys.ts';
import { addPerson, listPeople } from './store/people.ts';
import type { Database, ShopTransaction } from './store/shop-scope.ts';
import { inShop } from './store/shop-scope.ts';
import { createShop, listShopsForNightly, readShop } from './store/shops.ts';

const usage = `npm run shop -- create "NAME" --timezone Europe/London [--currency GBP]
npm run shop -- invite SHOP --sign-in ana [--name "Ana"] [--role ${roles.join('|')}]
npm run shop -- key SHOP --role ${roles.join('|')} --label "front desk"
npm run shop -- list [SHOP]
npm run shop -- revoke SHOP KEYID`;

type Options = Readonly<Partial<Record<'timezone' | 'currency' | 'role' | 'label' | 'name' | 'sign-in', string>>>;
type Command = (db: Database, args: readonly string[], options: Options, settings: Settings) => Promise<void>;

const money = shopSettings.shape.currency;
const commands: Readonly<Record<string, Command>> = { create, invite, key, list, revoke };

await runCommand(async (args) => {
  const text = { type: 'string' } as const;
  const options = { timezone: text, currency: text, role: text, label: text, name: text, 'sign-in': text };
  const { values, positionals } = parseArgs({ args, options, allowPositionals: true });
  const [name = '', ...rest] = positionals;
  const command = Object.hasOwn(commands, name) ? commands[name] : undefined;
  if (!command) throw new Error(usage);
  const settings = readSettings();
  const { databaseUrl, dataDir } = settings;
  const db = await openDatabase({ databaseUrl, dataDir, whenInUse: 'join', onProgress: console.error });
  try {
    await command(db, rest, values, settings);
  } finally {
    await db.close();
  }
});

async function create(db: Database, [name]: readonly string[], { timezone, currency }: Options): Promise<void> {
  if (!name || !timezone) throw new Error(usage);
  const wanted = {
    name: valid('NAME', newShop.shape.name, name, 'one line of 1 to 120 characters'),
    timeZone: valid('--timezone', newShop.shape.timeZone, timezone, 'an IANA name such as Europe/London'),
    settings: currency ? { currency: valid('--currency', money, currency, 'three capital letters such as GBP') } : {},
  };
  const { shopId } = await createShop(db, wanted);
  const { text } = await inShop(db, shopId, (tx) => createKey(tx, { role: 'owner', label: 'first owner key' }));
  console.log(
    `Shop ${shopId} (${name}) is open. Let its owner sign in: npm run shop -- invite ${shopId} --sign-in NAME`,
  );
  console.log(`Its owner key for other programs, shown only now:\n${text}`);
}

/** A link to choose a password: for somebody new, or, where the sign-in name is known, for whoever forgot theirs. */
async function invite(db: Database, [shopId]: readonly string[], options: Options, settings: Settings): Promise<void> {
  const given = options['sign-in'];
  if (!shopId || !given) throw new Error(usage);
  const wanted = {
    signInName: valid('--sign-in', signInName, given, signInName.description ?? ''),
    name: valid('--name', newPerson.shape.name, options.name ?? given, 'one line of 1 to 120 characters'),
    role: valid('--role', z.enum(roles), options.role ?? 'owner', `one of ${roles.join(', ')}`),
  };
  const { path, person } = await inExistingShop(db, shopId, async (tx) => {
    const known = (await listPeople(tx)).find((one) => one.signInName === wanted.signInName);
    const invited = known ?? (await addPerson(tx, wanted));
    if (!invited) throw new Error(`${wanted.signInName} was taken by somebody just now: try again`);
    return { person: invited, ...(await makeLink(tx, invited.personId, 'set-password', new Date())) };
  });
  console.log(`A link for ${person.name} (${person.role}) to choose a password; it works once, for a week:`);
  console.log(`http://${reachable(settings.host)}:${settings.port}${path}`);
}

/** A server that listens at every address is reached at this machine's own name. */
function reachable(host: string): string {
  return host === '0.0.0.0' || host === '::' ? 'localhost' : host;
}

async function key(db: Database, [shopId]: readonly string[], { role, label }: Options): Promise<void> {
  if (!shopId || !role) throw new Error(usage);
  const wanted = {
    role: valid('--role', z.enum(roles), role, `one of ${roles.join(', ')}`),
    label: valid('--label', shownName, label ?? role, 'one line of 1 to 120 characters'),
  };
  const { keyId, text } = await inExistingShop(db, shopId, (tx) => createKey(tx, wanted));
  console.log(`Key ${keyId} (${wanted.role}, ${wanted.label}), shown only now:\n${text}`);
}

async function list(db: Database, [shopId]: readonly string[]): Promise<void> {
  if (shopId) {
    const keys = await inExistingShop(db, shopId, listKeys);
    for (const { keyId, role, label, revokedAt } of keys) {
      console.log(`${keyId}  ${role.padEnd(10)}  ${label}${revokedAt ? `  (revoked ${revokedAt.toISOString()})` : ''}`);
    }
    return;
  }
  for (const { shopId: each, timeZone } of await listShopsForNightly(db)) {
    const shop = await inShop(db, each, readShop);
    console.log(`${each}  ${timeZone}  ${shop?.name}${shop?.invented ? '  (invented)' : ''}`);
  }
}

async function revoke(db: Database, [shopId, keyId]: readonly string[]): Promise<void> {
  if (!shopId || !keyId) throw new Error(usage);
  const done = await inExistingShop(db, shopId, (tx) => revokeKey(tx, keyId));
  if (!done) throw new Error(`shop ${shopId} has no key ${keyId} in force`);
  console.log(`Key ${keyId} is revoked.`);
}

function valid<T>(name: string, schema: z.ZodType<T>, value: string, allowed: string): T {
  const parsed = schema.safeParse(value);
  if (!parsed.success) throw new Error(`${name} is "${value}": allowed is ${allowed}`);
  return parsed.data;
}

async function inExistingShop<T>(db: Database, shopId: string, work: (tx: ShopTransaction) => Promise<T>): Promise<T> {
  if (!z.uuid().safeParse(shopId).success)
    throw new Error(`"${shopId}" is no shop id: npm run shop -- list shows them`);
  return inShop(db, shopId, async (tx) => {
    if (!(await readShop(tx))) throw new Error(`there is no shop ${shopId}: npm run shop -- list shows them`);
    return work(tx);
  });
}
