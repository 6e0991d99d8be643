/**
 * `npm run schema:check`, second half: schema.ts says what the migrations make. Whoever changes a table and writes no
 * migration for it is told here; that the migrations' SQL makes what their snapshot says is held by
 * tests/db/schema.test.ts against a real catalogue.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { isDeepStrictEqual } from 'node:util';
import { generateDrizzleJson } from 'drizzle-kit/api';
import * as schema from './schema.ts';

const meta = fileURLToPath(new URL('./migrations/meta/', import.meta.url));
const newest = readdirSync(meta)
  .filter((name) => name.endsWith('_snapshot.json'))
  .sort()
  .at(-1);
if (!newest) throw new Error('db/migrations/meta holds no snapshot');

const migrated = JSON.parse(readFileSync(`${meta}${newest}`, 'utf8'));
// Through JSON, as the snapshot has gone: what is undefined is absent there.
const wanted = JSON.parse(JSON.stringify(generateDrizzleJson(schema, migrated.prevId)));
const names = [...new Set([...Object.keys(migrated.tables), ...Object.keys(wanted.tables)])];
const differing = names.filter((name) => !isDeepStrictEqual(migrated.tables[name], wanted.tables[name]));
const rest = isDeepStrictEqual({ ...migrated, id: '', tables: {} }, { ...wanted, id: '', tables: {} });
if (differing.length > 0 || !rest) {
  console.error(`db/schema.ts and db/migrations differ${differing.length > 0 ? ` in ${differing.join(', ')}` : ''}.`);
  console.error('Write the migration: npx drizzle-kit generate --config db/drizzle.config.ts --name what-it-does');
  process.exitCode = 1;
} else {
  console.log('db/schema.ts and db/migrations agree');
}
