/**
 * `npm run schema:check`, second half: schema.ts says what the migrations make. Whoever changes a table and writes no
 * migration for it is told here; that the migrations' SQL makes what their snapshot says is held by
 * tests/db/schema.test.ts against a real catalogue.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { generateDrizzleJson, generateMigration } from 'drizzle-kit/api';
import * as schema from './schema.ts';

const meta = fileURLToPath(new URL('./migrations/meta/', import.meta.url));
const newest = readdirSync(meta)
  .filter((name) => name.endsWith('_snapshot.json'))
  .sort()
  .at(-1);
if (!newest) throw new Error('db/migrations/meta holds no snapshot');

const migrated = JSON.parse(readFileSync(`${meta}${newest}`, 'utf8'));
const missing = await generateMigration(migrated, generateDrizzleJson(schema, migrated.id));
if (missing.length > 0) {
  console.error(`db/schema.ts and db/migrations differ; run: npx drizzle-kit generate --config db/drizzle.config.ts`);
  console.error(missing.join('\n'));
  process.exitCode = 1;
} else {
  console.log('db/schema.ts and db/migrations agree');
}
