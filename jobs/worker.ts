/** `npm run worker`: the nightly schedule alone, for a machine beside the server; any number may run at once. */
import { pino } from 'pino';
import { runCommand } from '../db/command.ts';
import { openDatabase } from '../db/open.ts';
import { readSettings } from '../src/settings.ts';
import { startSchedule } from './schedule.ts';

await runCommand(async () => {
  const { databaseUrl, dataDir, nightlyAt, logLevel } = readSettings();
  const log = pino({ level: logLevel, base: null, timestamp: pino.stdTimeFunctions.isoTime });
  const told = new Promise<void>((resolve) => {
    for (const signal of ['SIGINT', 'SIGTERM'] as const) process.once(signal, () => resolve());
  });
  const db = await openDatabase({ databaseUrl, dataDir, whenInUse: 'join', onProgress: console.error });
  try {
    const schedule = await startSchedule({ db, log, nightlyAt, now: () => new Date() });
    log.info({ nightlyAt }, 'nightly schedule running');
    await told;
    await schedule.stop();
  } finally {
    await db.close();
  }
});
