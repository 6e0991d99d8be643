import type { FinishedJob } from '../src/domain/record.ts';
import { scoresVersion } from '../src/insight/scoring/month-basis.ts';
import { readScores } from '../src/insight/scoring/stored-scores.ts';
import { fitVersion } from '../src/models/fit-codec.ts';
import { dataState } from '../src/store/data-state.ts';
import { readConfirmed } from '../src/store/doubtful.ts';
import { insertFit, listFits, type NewFit, publishFit, readFit, readPublished, unfinished } from '../src/store/fits.ts';
import { readLists } from '../src/store/lists.ts';
import { readAllRecords } from '../src/store/records-read.ts';
import { lockRun } from '../src/store/run-lock.ts';
import { type Database, inShop, type ShopTransaction } from '../src/store/shop-scope.ts';
import { readOwnShop } from '../src/store/shops.ts';
import { computeApart } from './compute-apart.ts';
import type { ComputedFit, FitMaterial } from './compute-fit.ts';

/** How a run ended; `fitId` is the fit it stored, or the one that already stood for these data. */
export interface RunOutcome {
  readonly fitId: string;
  readonly status: 'published' | 'refused' | 'failed' | 'unchanged' | 'busy';
}

export interface RunDeps {
  readonly db: Database;
  readonly now: () => Date;
  /** The arithmetic; a process of its own where absent. */
  readonly compute?: (material: FitMaterial) => Promise<ComputedFit>;
}

/** A night does not try again what failed; whoever asks by hand means to. */
type AskedBy = 'night' | 'hand';

/**
 * The nightly task of one shop: read its records, fit, check, publish, all in one transaction under a lock of the shop.
 * A second worker that comes meanwhile is told so and does nothing; data that were already fitted are not fitted again; a
 * fit that fails or is refused is stored with its reason, and the one published before stays.
 */
export async function runShop(
  deps: RunDeps,
  shopId: string,
  fitId: string,
  askedBy: AskedBy = 'hand',
): Promise<RunOutcome> {
  return inShop(deps.db, shopId, async (tx) => {
    if (!(await lockRun(tx))) return { fitId, status: 'busy' };
    const state = `${await dataState(tx)}.v${fitVersion}.${scoresVersion}`;
    const [latest] = await listFits(tx, 1);
    const stands = latest?.dataState === state && (latest.status !== 'failed' || askedBy === 'night');
    if (stands) return { fitId: latest.fitId, status: 'unchanged' };
    const startedAt = deps.now();
    const latestScores = latest && readScores((await readFit(tx, latest.fitId))?.scores);
    const material = { ...(await readMaterial(tx, startedAt)), latestScores };
    const computed = await (deps.compute ?? computeApart)(material);
    const dataStateOf = computed.finished ? state : `${state}${unfinished}`;
    const about = { fitId, dataState: dataStateOf, startedAt, finishedAt: deps.now(), nJobs: material.records.length };
    return { fitId, status: await keep(tx, about, computed) };
  });
}

async function readMaterial(tx: ShopTransaction, now: Date): Promise<FitMaterial> {
  const records: FinishedJob[] = [];
  for await (const record of readAllRecords(tx)) records.push(record);
  const lists = await readLists(tx);
  const { timeZone, settings } = await readOwnShop(tx);
  const confirmed = await readConfirmed(tx);
  const published = await readPublished(tx);
  const formerScores = readScores(published?.scores);
  const { rules } = settings;
  const read = { records, ...lists, rules, confirmed };
  return { ...read, now, timeZone, published: published?.posterior, formerScores };
}

async function keep(
  tx: ShopTransaction,
  about: Pick<NewFit, 'fitId' | 'dataState' | 'startedAt' | 'finishedAt' | 'nJobs'>,
  computed: ComputedFit,
): Promise<'published' | 'refused' | 'failed'> {
  const { status, reason, posterior, summary, scores } = computed;
  const fit: NewFit = { ...about, reason, posterior, summary, scores };
  if (status === 'published' && posterior !== null) await publishFit(tx, { ...fit, posterior });
  else await insertFit(tx, fit, status === 'failed' ? 'failed' : 'refused');
  return status;
}
