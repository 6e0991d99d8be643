/** The composition root: settings, database, interface, nightly schedule, and an end in the opposite order. */
import { type Logger, pino } from 'pino';
import { runCommand } from '../db/command.ts';
import { openDatabase } from '../db/open.ts';
import { runShop } from '../jobs/run-shop.ts';
import { startSchedule } from '../jobs/schedule.ts';
import { prepareDemo } from '../seed/prepare-demo.ts';
import { buildApp } from './http/app.ts';
import { listen } from './http/listen.ts';
import { createMetrics } from './http/metrics.ts';
import { readSettings } from './settings.ts';

/** Requests in flight get this long when the program is told to stop. */
const finishWithinMs = 15_000;

await runCommand(async ([command]) => {
  if (command !== undefined && command !== 'demo') throw new Error('npm start, or npm run demo');
  const settings = readSettings();
  const log = pino({ level: settings.logLevel, base: null, timestamp: pino.stdTimeFunctions.isoTime });
  const now = () => new Date();
  const told = toldToStop(log); // from here on, so that a signal while starting is not lost
  const { databaseUrl, dataDir } = settings;
  const db = await openDatabase({ databaseUrl, dataDir, onProgress: console.error });
  try {
    const metrics = createMetrics();
    const runFit = (shopId: string, fitId: string) => runShop({ db, now }, shopId, fitId);
    const server = await listen(buildApp({ db, now, log, metrics, runFit }), settings); // a port that is taken is told of at once
    let schedule: Awaited<ReturnType<typeof startSchedule>> | undefined;
    try {
      const opening = command === 'demo' ? await prepareDemo(db, now, console.error) : () => [];
      for (const line of opening(server.address)) console.log(line);
      if (!databaseUrl) schedule = await startSchedule({ db, now, log, nightlyAt: settings.nightlyAt });
      console.error(`secondpass answers at ${server.address}; its description is at ${server.address}/docs`);
      await told;
    } finally {
      await server.stop(finishWithinMs);
      await schedule?.stop();
    }
  } finally {
    await db.close();
  }
  log.info('stopped');
});

/** Resolves at the first signal to stop; a second one ends the program at once. */
async function toldToStop(log: Logger): Promise<void> {
  const signal = await new Promise<NodeJS.Signals>((resolve) => {
    for (const name of ['SIGINT', 'SIGTERM'] as const) process.once(name, resolve);
  });
  for (const name of ['SIGINT', 'SIGTERM'] as const) process.once(name, () => process.exit(1));
  log.info({ signal }, 'stopping: requests in flight finish first');
}
