/**
 * Each report on a shop of 2,000 jobs, computed anew: `node --import tsx tests/bench/reports.ts`. The service keeps a report until the shop's
 * data change, so most readers wait for none of this. CPU time, medians of five.
 */
import { defaultShopSettings } from '../../src/domain/shop-settings.ts';
import { comebackReport } from '../../src/insight/comebacks.ts';
import { machinesReport } from '../../src/insight/machines/report.ts';
import { upgradeReport, upgradeRequest } from '../../src/insight/machines/upgrade.ts';
import { priceList } from '../../src/insight/quotes/price-list.ts';
import { quotesReport } from '../../src/insight/quotes/report.ts';
import { wetnessReport } from '../../src/insight/wetness/report.ts';
import { fitShop } from '../../src/models/fit.ts';
import { simulateShop } from '../support/simulate/shop.ts';

const now = new Date('2026-01-05');
const { technicians, machines, records: sent } = simulateShop('lumps', 5, 2000, {});
const records = sent.map((record, i) => ({ ...record, quoted: { hours: 2 + (i % 3) } }));
const shop = { technicians, machines, records };
const result = fitShop({ ...shop, now });
if (result.status === 'failed') throw new Error(JSON.stringify(result.failures));
const { fit } = result;
const settings = defaultShopSettings;
const ask = upgradeRequest.parse({ price: 2400, grade: 'high' });

const reports = {
  wetness: () => wetnessReport(fit, shop, now),
  machines: () => machinesReport(fit, shop, now),
  upgrade: () => upgradeReport(fit, shop, now, ask, settings),
  quotes: () => quotesReport(fit, shop, settings, new Map(), now),
  'price list': () => priceList(fit, { now, timeZone: 'Europe/London', settings, technicians, machines }),
  comebacks: () => comebackReport(fit, records, now),
};

for (const [name, report] of Object.entries(reports))
  console.log(`${name.padEnd(12)} ${medianCpuMs(report).toFixed(0)} ms`);

function medianCpuMs(work: () => unknown): number {
  work();
  const times = Array.from({ length: 5 }, () => {
    const before = process.cpuUsage();
    work();
    const { user, system } = process.cpuUsage(before);
    return (user + system) / 1000;
  });
  return times.sort((a, b) => a - b)[2];
}
