import type { FinishedJob } from '../domain/record.ts';
import type { ShopRecords } from '../insight/shop-records.ts';
import { dataState } from '../store/data-state.ts';
import { readAllRecords } from '../store/records-read.ts';
import type { ShopTransaction } from '../store/shop-scope.ts';
import type { BasisOf, EstimateBasis } from './fit-cache.ts';
import { keep } from './keep.ts';

/** What estimates are made from, and a name that changes whenever it does. */
export interface LearntBasis extends EstimateBasis {
  readonly state: string;
}

/** What a report is made from, and a name that changes whenever it does. */
export interface ReportBasis extends LearntBasis {
  readonly shopRecords: ShopRecords;
}

export interface ReportSource {
  basis(tx: ShopTransaction): Promise<ReportBasis>;
  /** Without the records: a new one changes nothing here before the night has read it. */
  learnt(tx: ShopTransaction): Promise<LearntBasis>;
  /** The report of this name over this basis, computed once for as long as neither changes. */
  remember<T>(basis: LearntBasis, name: string, compute: () => T): T;
}

/** A few shops at a time: their records are some megabytes each. */
const keptShops = 8;
const keptReports = 64;

/** Reports are read many times between two changes of a shop's data: records and answers are kept until then. */
export function createReportSource(basisOf: BasisOf): ReportSource {
  const records = new Map<string, readonly FinishedJob[]>();
  const reports = new Map<string, unknown>();
  return {
    basis: async (tx) => {
      const [basis, data] = await Promise.all([basisOf(tx), dataState(tx)]);
      const state = `${tx.shopId} ${data} ${basis.fitId ?? 'rules'}`;
      const all = records.get(state) ?? (await readAll(tx));
      keep(records, state, all, keptShops);
      const { technicians, machines, shop } = basis;
      const shopRecords = { records: all, technicians, machines, timeZone: shop.timeZone };
      return { ...basis, state, shopRecords };
    },
    learnt: async (tx) => {
      const basis = await basisOf(tx);
      const { shop, technicians, machines, fitId } = basis;
      return { ...basis, state: JSON.stringify([fitId, shop, technicians, machines]) };
    },
    remember: <T>({ state }: LearntBasis, name: string, compute: () => T): T => {
      const key = `${state} ${name}`;
      // What was put in under this name was computed by the same function.
      const report = reports.has(key) ? (reports.get(key) as T) : compute();
      keep(reports, key, report, keptReports);
      return report;
    },
  };
}

async function readAll(tx: ShopTransaction): Promise<readonly FinishedJob[]> {
  const all: FinishedJob[] = [];
  for await (const record of readAllRecords(tx)) all.push(record);
  return all;
}
