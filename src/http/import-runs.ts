import { setTimeout as pause } from 'node:timers/promises';
import type { CsvMapping } from '../domain/csv-mapping.ts';
import { readableParts } from '../domain/record-rules.ts';
import { beginTaking, changeImport, dropContent, importContent } from '../store/imports.ts';
import { type ListKeys, putMachines, putTechnicians, readListKeys } from '../store/lists.ts';
import { inShop, type ShopTransaction } from '../store/shop-scope.ts';
import { UploadCut } from './body-limits.ts';
import type { AppDeps } from './env.ts';
import { type ImportReading, importRecords } from './import-records.ts';
import { type Report, Tally } from './records-tally.ts';
import { type Sent, takeUpload } from './records-upload.ts';

export interface ImportTask {
  readonly shopId: string;
  readonly importId: string;
  readonly reading: ImportReading;
}

/** What a file would come to, and which people and machines it names that the lists lack. */
interface DryRun {
  readonly report: Report;
  readonly technicians: readonly string[];
  readonly machines: readonly string[];
}

/** Checks and counts without storing anything. */
export async function dryRun(deps: AppDeps, task: ImportTask): Promise<DryRun> {
  const keys = await inShop(deps.db, task.shopId, readListKeys);
  const missing = { technicians: new Set<string>(), machines: new Set<string>() };
  const sent = noting(recordsOf(deps, task), (one) => noteMissing(one.input, keys, missing));
  const report = await takeUpload(uploadTask(deps, task, keys, true), sent, new Tally());
  return { report, technicians: [...missing.technicians].sort(), machines: [...missing.machines].sort() };
}

/**
 * The files that this process is taking in. Each goes on in the background, batch by batch, and says in the database
 * how far it is; where the process ends meanwhile, what is stored is stored, and taking in again goes over it unharmed.
 */
export class ImportRuns {
  readonly #deps: AppDeps;
  readonly #running = new Map<string, Promise<void>>();

  constructor(deps: AppDeps) {
    this.#deps = deps;
  }

  isRunning(importId: string): boolean {
    return this.#running.has(importId);
  }

  /** Begins, or joins what is going on, and waits a little: small files are done by then. */
  async take(task: ImportTask, patienceMs: number): Promise<void> {
    const run = this.#running.get(task.importId) ?? this.#begin(task);
    await Promise.race([run, pause(patienceMs, undefined, { ref: false })]);
  }

  #begin(task: ImportTask): Promise<void> {
    const run = takeIn(this.#deps, task)
      .catch((error: unknown) => this.#brokeOff(task, error))
      .finally(() => this.#running.delete(task.importId));
    this.#running.set(task.importId, run);
    return run;
  }

  /** The page says so at once; where even this cannot be stored it finds out from the silence. */
  async #brokeOff({ shopId, importId }: ImportTask, error: unknown): Promise<void> {
    const { db, log } = this.#deps;
    log.error({ err: error, importId }, 'an import broke off');
    const said = inShop(db, shopId, (tx) => changeImport(tx, importId, { reachedAt: null }));
    await said.catch((err: unknown) => log.error({ err, importId }, 'and that could not be stored'));
  }
}

/** A file that was done between the reading of its state and this, by a button pressed twice, is left as it is. */
async function takeIn(deps: AppDeps, task: ImportTask): Promise<void> {
  const { db, now } = deps;
  const { shopId, importId, reading } = task;
  const reached = (lineReached: number) =>
    inShop(db, shopId, (tx) => changeImport(tx, importId, { state: 'taking', lineReached, reachedAt: now() }));
  if (!(await inShop(db, shopId, (tx) => beginTaking(tx, importId, now())))) return;
  if (reading.mapping.createMissing) await inShop(db, shopId, (tx) => putNamed(tx, reading.mapping));
  const keys = await inShop(db, shopId, readListKeys);
  const tally = new Tally();
  const sent = noting(recordsOf(deps, task), everyNth(reached));
  const report = await takeUpload(uploadTask(deps, task, keys, false), sent, tally).catch((error: unknown) => {
    if (!(error instanceof UploadCut)) throw error;
    return { ...tally.report(), brokeOff: error.message };
  });
  deps.metrics.recordsAccepted(report.accepted);
  await inShop(db, shopId, async (tx) => {
    await changeImport(tx, importId, { state: 'done', report, reachedAt: now() });
    await dropContent(tx, importId);
  });
}

/** How often it is said how far a file is. */
const everyRecords = 500;

function everyNth(reached: (line: number) => Promise<void>): (one: Sent) => Promise<void> | void {
  let count = 0;
  return ({ line }) => {
    count += 1;
    if (count % everyRecords === 0) return reached(line);
  };
}

function recordsOf({ db }: AppDeps, { shopId, importId, reading }: ImportTask): AsyncGenerator<Sent[]> {
  return importRecords(importContent(db, shopId, importId), reading);
}

function uploadTask({ db, now }: AppDeps, task: ImportTask, keys: ListKeys, isDry: boolean) {
  const { createMissing } = task.reading.mapping;
  const options = { allOrNothing: false, dryRun: isDry, createMissing };
  return { db, shopId: task.shopId, now: now(), keys, options };
}

/** The records again, each shown to `note` on its way. */
async function* noting(sent: AsyncIterable<Sent[]>, note: (one: Sent) => Promise<void> | void): AsyncGenerator<Sent[]> {
  for await (const some of sent) {
    for (const one of some) await note(one);
    yield some;
  }
}

function noteMissing(input: unknown, keys: ListKeys, missing: Record<keyof ListKeys, Set<string>>): void {
  const { labour, sections, extractor } = readableParts.safeParse(input).data ?? {};
  for (const one of [...(labour ?? []), ...(sections ?? [])]) {
    const key = one?.technician;
    if (key !== undefined && !keys.technicians.has(key)) missing.technicians.add(key);
  }
  if (typeof extractor === 'string' && !keys.machines.has(extractor)) missing.machines.add(extractor);
}

/** Those whose key was made from a longer name come onto the lists under that name. */
async function putNamed(tx: ShopTransaction, { words, from }: CsvMapping): Promise<void> {
  const keys = await readListKeys(tx);
  const named = (targets: readonly string[], known: ReadonlySet<string>) => {
    const pairs = targets.filter((target) => from[target] !== undefined).flatMap((target) => words[target] ?? []);
    const byKey = new Map(pairs.filter(([, key]) => key !== '' && !known.has(key)).map(([name, key]) => [key, name]));
    return [...byKey].map(([key, name]) => ({ key, name: name.slice(0, 120) }));
  };
  await putTechnicians(tx, named(['technician', 'section_technician'], keys.technicians));
  const machines = named(['extractor'], keys.machines);
  await putMachines(
    tx,
    machines.map((one) => ({ ...one, kind: 'extractor' as const, grade: 'standard' as const })),
  );
}
