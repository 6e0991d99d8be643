/** `npm run backup -- FILE`: everything in the database into one file, also while the program runs. */
import { readSettings } from '../src/settings.ts';
import { runCommand } from './command.ts';
import { findServer } from './open.ts';
import { writeSnapshot } from './snapshot.ts';
import { sayIfSlow } from './waiting.ts';

await runCommand(async ([file]) => {
  if (!file) throw new Error('npm run backup -- FILE');
  const { databaseUrl, dataDir } = readSettings();
  const server = await findServer({ databaseUrl, dataDir, whenInUse: 'join', onProgress: console.error });
  try {
    const { tables } = await sayIfSlow(console.error, 'Writing the backup …', writeSnapshot(server.ownerUrl, file));
    for (const { table, rows } of tables) console.log(`${table}: ${rows}`);
    console.log(`Backed up into ${file}`);
  } finally {
    await server.stop();
  }
});
