import type { ModelName } from '../domain/doubts.ts';
import { type Fault, fault } from '../domain/faults.ts';
import { zonedDay } from '../domain/zoned-time.ts';
import { type ComebackReport, comebackReport } from '../insight/comebacks.ts';
import { type EvidencePoint, evidenceHistory } from '../insight/evidence-history.ts';
import { type MachinesReport, machinesReport, noneToCompare } from '../insight/machines/report.ts';
import { type UpgradeReport, type UpgradeRequest, upgradeReport } from '../insight/machines/upgrade.ts';
import type { StoredAnswer } from '../insight/quotes/followed.ts';
import { type ListPrice, priceList } from '../insight/quotes/price-list.ts';
import { type QuotesInShort, type QuotesReport, quotesInShort, quotesReport } from '../insight/quotes/report.ts';
import { readFitSummary } from '../insight/rules/fit-reading.ts';
import { readScores } from '../insight/scoring/stored-scores.ts';
import { type RecordingReport, whatToRecord } from '../insight/teach/what-to-record.ts';
import { type TrackRecord, trackRecord } from '../insight/track-record.ts';
import { type WetnessReport, wetnessReport } from '../insight/wetness/report.ts';
import { readAnswers } from '../store/estimates.ts';
import { readEvidence, readFirstFinishedAt, readPublishedScores, readPublishedSummary } from '../store/fits.ts';
import { inShop, type ShopTransaction } from '../store/shop-scope.ts';
import type { AppDeps } from './env.ts';
import type { LearntBasis, ReportBasis, ReportSource } from './report-basis.ts';

/** What kept a report from being made, in words. */
export interface NoReport {
  readonly whyNot: string;
  /** Where it lies with what was asked. */
  readonly faults?: readonly Fault[];
}

/** Every report of a shop, from what the night published and the records of the day: for programs and for people. */
export interface ReportReaders {
  wetness(shopId: string): Promise<WetnessReport>;
  machines(shopId: string, baseline?: string): Promise<MachinesReport | NoReport>;
  upgrade(shopId: string, ask: UpgradeRequest): Promise<UpgradeReport | NoReport>;
  quotesInShort(shopId: string): Promise<QuotesInShort>;
  /** `risk`: the share of jobs that may run over; the shop's own where absent. */
  quotes(shopId: string, risk?: number): Promise<QuotesReport>;
  prices(shopId: string, risk?: number): Promise<{ readonly risk: number; readonly prices: readonly ListPrice[] }>;
  comebacks(shopId: string): Promise<ComebackReport>;
  trackRecord(shopId: string): Promise<TrackRecord>;
  evidence(shopId: string): Promise<readonly EvidencePoint[]>;
  whatToRecord(shopId: string): Promise<RecordingReport>;
}

export function createReportReaders({ db, now }: Pick<AppDeps, 'db' | 'now'>, source: ReportSource): ReportReaders {
  const read = <T>(shopId: string, work: (basis: ReportBasis, tx: ShopTransaction) => T | Promise<T>) =>
    inShop(db, shopId, async (tx) => work(await source.basis(tx), tx));
  /** Reports look back from the shop's day. */
  const today = ({ shop }: LearntBasis) => zonedDay(now(), shop.timeZone);
  return {
    wetness: (shopId) =>
      read(shopId, (basis) =>
        source.remember(basis, `wetness ${today(basis)}`, () => wetnessReport(basis.fit, basis.shopRecords, now())),
      ),
    machines: (shopId, baseline) =>
      read(shopId, (basis) => {
        if (baseline !== undefined && !owns(basis, baseline)) return notOwned('baseline', baseline, basis);
        return source.remember(basis, `machines ${today(basis)} ${baseline}`, () =>
          machinesReport(basis.fit, basis.shopRecords, now(), baseline),
        );
      }),
    upgrade: (shopId, ask) =>
      read(shopId, (basis) => {
        if (ask.replaces !== undefined && !owns(basis, ask.replaces)) return notOwned('replaces', ask.replaces, basis);
        const made = source.remember(basis, `upgrade ${today(basis)} ${JSON.stringify(ask)}`, () =>
          upgradeReport(basis.fit, basis.shopRecords, now(), ask, basis.shop.settings),
        );
        return made ?? { whyNot: `${noneToCompare}: there is no mix of work to compare on` };
      }),
    quotesInShort: (shopId) =>
      read(shopId, ({ shop, shopRecords }) => quotesInShort(shopRecords.records, now(), shop.settings.overrunRisk)),
    quotes: (shopId, asked) =>
      read(shopId, async (basis, tx) => {
        const { settings } = basis.shop;
        const risk = asked ?? settings.overrunRisk;
        const answers = await storedAnswers(tx, basis);
        return source.remember(basis, `quotes ${today(basis)} ${risk}`, () =>
          quotesReport(basis.fit, basis.shopRecords, settings, answers, now(), risk),
        );
      }),
    prices: (shopId, asked) =>
      inShop(db, shopId, async (tx) => {
        const basis = await source.learnt(tx);
        const { shop, technicians, machines } = basis;
        const risk = asked ?? shop.settings.overrunRisk;
        const settings = { ...shop.settings, overrunRisk: risk };
        const context = { now: now(), timeZone: shop.timeZone, settings, technicians, machines };
        const prices = source.remember(basis, `prices ${today(basis)} ${risk}`, () => priceList(basis.fit, context));
        return { risk, prices };
      }),
    comebacks: (shopId) =>
      read(shopId, (basis) =>
        source.remember(basis, `comebacks ${today(basis)}`, () =>
          comebackReport(basis.fit, basis.shopRecords.records, now()),
        ),
      ),
    whatToRecord: (shopId) =>
      read(shopId, (basis) =>
        source.remember(basis, `what to record ${today(basis)}`, () =>
          whatToRecord(basis.fit, basis.shopRecords, now()),
        ),
      ),
    trackRecord: async (shopId) => {
      const published = await inShop(db, shopId, readPublishedSummary);
      const scores = readScores(published?.scores);
      const reading = readFitSummary(published?.summary);
      const termsOf = (model: ModelName) => reading?.models[model].terms ?? [];
      return trackRecord(scores?.months ?? [], scores?.verdict, scores?.changes, termsOf);
    },
    evidence: (shopId) =>
      inShop(db, shopId, async (tx) => {
        const scores = readScores(await readPublishedScores(tx));
        return evidenceHistory(await readFirstFinishedAt(tx), scores?.months ?? [], await readEvidence(tx));
      }),
  };
}

function owns({ machines }: ReportBasis, key: string): boolean {
  return machines.some((machine) => machine.key === key);
}

function notOwned(field: string, key: string, { machines }: ReportBasis): NoReport {
  const keys = machines.map((machine) => machine.key);
  const rule = keys.length === 0 ? 'no machine is on the list' : `one of ${keys.join(', ')}`;
  const wrong = fault([field], key, rule, keys);
  return { whyNot: wrong.message, faults: [wrong] };
}

async function storedAnswers(
  tx: ShopTransaction,
  { shopRecords }: ReportBasis,
): Promise<ReadonlyMap<string, StoredAnswer>> {
  const ids = shopRecords.records.flatMap(({ quoted }) => quoted?.estimate ?? []);
  return ids.length === 0 ? new Map() : readAnswers(tx, ids);
}
