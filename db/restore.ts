/** `npm run restore -- FILE`: a backup into an empty database, whole or not at all. */
import { readSettings } from '../src/settings.ts';
import { runCommand } from './command.ts';
import { migrateDatabase } from './migrate.ts';
import { findServer } from './open.ts';
import { restoreSnapshot } from './snapshot.ts';
import { sayIfSlow } from './waiting.ts';

await runCommand(async ([file]) => {
  if (!file) throw new Error('npm run restore -- FILE');
  const { databaseUrl, dataDir } = readSettings();
  const server = await findServer({ databaseUrl, dataDir, whenInUse: 'join', onProgress: console.error });
  try {
    await migrateDatabase(server.ownerUrl);
    const { tables } = await sayIfSlow(console.error, 'Restoring …', restoreSnapshot(server.ownerUrl, file));
    for (const { table, rows } of tables) console.log(`${table}: ${rows}`);
    console.log(`Restored from ${file}, counts and digests compared`);
  } finally {
    await server.stop();
  }
});
