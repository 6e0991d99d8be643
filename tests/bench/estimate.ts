/**
 * Compute time of one estimate, against a plain way of drawing: `node --import tsx tests/bench/estimate.ts`.
 * CPU time of this process, medians of batches; on a shared machine only the ratios mean anything.
 */
import { demoShop } from '../../seed/shop.ts';
import { type PlannedJobInput, plannedJob } from '../../src/domain/planned.ts';
import { finishedJob } from '../../src/domain/record.ts';
import { defaultShopSettings } from '../../src/domain/shop-settings.ts';
import { packedLength } from '../../src/inference/cholesky.ts';
import { randomGenerator } from '../../src/inference/random.ts';
import { plannedWork } from '../../src/models/estimate/planned-work.ts';
import { simulateJob } from '../../src/models/estimate/simulate-job.ts';
import { wouldNarrow } from '../../src/models/estimate/would-narrow.ts';
import { estimateJob } from '../../src/models/estimate.ts';
import { fitShop } from '../../src/models/fit.ts';
import { decodeShopFit, encodeShopFit } from '../../src/models/fit-codec.ts';

const nDraws = 4000;
const now = new Date('2026-11-01T08:00:00Z');
const shop = demoShop(1, '2026-11-01');
const records = shop.records.map((record) => finishedJob.parse(record));
const material = { records, technicians: shop.technicians, machines: shop.machines, now };
const result = fitShop(material);
if (result.status === 'failed') throw new Error(JSON.stringify(result.failures));
const { fit } = result;
const text = encodeShopFit(fit);
const context = { ...material, timeZone: 'Europe/London', settings: defaultShopSettings };

const seat = { fabric: 'flat-woven', soil: 'moderate', method: 'extraction' } as const;
const sections: PlannedJobInput['sections'] = [
  { ...seat, area: 'front-seat', count: 2 },
  { ...seat, area: 'rear-bench' },
];
const job: PlannedJobInput = { bodyStyle: 'sedan', seatsRemoved: true, startAt: '2026-11-02T08:00:00Z', sections };
const named = plannedJob.parse({ ...job, technician: shop.technicians[0].key, extractor: shop.machines[0].key });
const open = plannedJob.parse(job);

const plainMs = cpuMs(plainDraws, 12);
console.log(`${records.length} records, ${nDraws} draws, CPU time`);
report('plain: 40 coefficients a draw, 8 predictors, sorted for quantiles', plainMs);
report(
  'estimate, technician and extractor named',
  cpuMs(() => estimateJob(fit, named, context), 100),
);
report(
  'estimate, both left open',
  cpuMs(() => estimateJob(fit, open, context), 100),
);
const openWork = plannedWork(fit, open, context);
const openDraws = simulateJob(fit, openWork, nDraws);
report(
  'of this, the draws',
  cpuMs(() => simulateJob(fit, openWork, nDraws), 100),
);
report(
  'of this, what would narrow it',
  cpuMs(() => wouldNarrow(openWork, openDraws, fit), 100),
);
report(
  'decode a stored fit',
  cpuMs(() => decodeShopFit(text), 20),
);
report(
  'fit the shop',
  cpuMs(() => fitShop(material), 1),
);

function report(what: string, ms: number): void {
  console.log(`${ms.toFixed(2).padStart(9)} ms  ${(ms / plainMs).toFixed(2).padStart(7)} × plain  ${what}`);
}

/** Median over seven batches of the CPU time of one call, after two batches to warm up. */
function cpuMs(work: () => void, calls: number): number {
  const batches = Array.from({ length: 9 }, () => {
    const before = process.cpuUsage();
    for (let i = 0; i < calls; i++) work();
    const used = process.cpuUsage(before);
    return (used.user + used.system) / 1000 / calls;
  });
  return batches.slice(2).sort((a, b) => a - b)[3];
}

/** The same count of draws without any of the short cuts: every coefficient of one model drawn, every predictor a product, every figure a sort. */
function plainDraws(): void {
  const nColumns = 40;
  const generator = randomGenerator(1);
  const factor = new Float64Array(packedLength(nColumns)).fill(0.01);
  const predictors = Array.from({ length: 8 }, () => new Float64Array(nDraws));
  const normals = new Float64Array(nColumns);
  const coefficients = new Float64Array(nColumns);
  for (let d = 0; d < nDraws; d++) {
    for (let j = 0; j < nColumns; j++) normals[j] = generator.normal();
    for (let i = 0; i < nColumns; i++) {
      let sum = 0;
      for (let j = 0; j <= i; j++) sum += factor[packedLength(i) + j] * normals[j];
      coefficients[i] = sum;
    }
    predictors.forEach((values, k) => {
      let sum = 0;
      for (let j = k; j < nColumns; j += 4) sum += coefficients[j];
      values[d] = Math.exp(sum);
    });
  }
  for (const values of predictors) values.sort();
}
