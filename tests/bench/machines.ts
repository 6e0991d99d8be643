/**
 * How far the comparison of extractors can be trusted: invented shops of three mechanisms whose better machine gets the dirtier vehicles, the
 * high-grade machine against the entry one, held against what the mechanism itself makes of the same jobs of the year with either.
 * Error: mean distance of the report's p50 from the truth over that of the raw difference of the jobs each machine did. Bias: mean of report
 * less truth over the mean true difference, so that + overclaims. Spread: standard deviation of (report less truth) and, beside it, the
 * half-width of the 90 % range over 1.645, both over the mean true difference.
 * Truth: twenty draws a job. Run: node --import tsx tests/bench/machines.ts [shops] [jobs] [mechanism]
 */
import { createRandom } from '../../seed/random.ts';
import { type MachineDifference, machinesReport } from '../../src/insight/machines/report.ts';
import type { Range } from '../../src/insight/range.ts';
import { fitShop } from '../../src/models/fit.ts';
import { simulateShop } from '../support/simulate/shop.ts';
import { simulateSponge } from '../support/simulate/sponge-shop.ts';
import type { Outcome, SimulatedShop } from '../support/simulate/types.ts';

const shops = Number(process.argv[2] ?? 20);
const jobs = Number(process.argv[3] ?? 400);
const only = process.argv[4];
const firstSeed = 501;
const drawsPerJob = 20;
const now = new Date('2026-01-05');
const options = { harderToBetter: true };
const mechanisms: Readonly<Record<string, (seed: number) => SimulatedShop>> = {
  sponge: (seed) => simulateSponge(seed, jobs, options),
  lumps: (seed) => simulateShop('lumps', seed, jobs, options),
  strips: (seed) => simulateShop('strips', seed, jobs, options),
};

/** Means over jobs. */
interface Work {
  readonly passes: number;
  readonly hours: number;
  readonly water: number;
  readonly drying: number;
}

const figures: Readonly<
  Record<keyof Work, { read(report: MachineDifference): Range; differ(a: Work, b: Work): number }>
> = {
  passes: { read: ({ passes }) => passes, differ: (a, b) => a.passes - b.passes },
  hours: { read: ({ hours }) => hours, differ: (a, b) => a.hours - b.hours },
  water: { read: ({ waterPercent }) => waterPercent, differ: (a, b) => 100 * (a.water / b.water - 1) },
  drying: { read: ({ dryHours }) => dryHours, differ: (a, b) => a.drying - b.drying },
};
const names = ['passes', 'hours', 'water', 'drying'] as const;

for (const [mechanism, simulate] of Object.entries(mechanisms)) {
  if (only !== undefined && only !== mechanism) continue;
  const compared = Array.from({ length: shops }, (_, i) => compare(simulate(firstSeed + i)));
  for (const name of names) console.log(`${mechanism} ${name}: ${summary(compared.map((shop) => shop[name]))}`);
}

interface Compared {
  readonly range: Range;
  readonly truth: number;
  readonly raw: number;
}

function compare(shop: SimulatedShop): Readonly<Record<keyof Work, Compared>> {
  const { technicians, machines, records } = shop;
  const fitted = fitShop({ records, technicians, machines, now });
  if (fitted.status !== 'fitted') throw new Error(fitted.failures.map(({ message }) => message).join());
  const [better, other] = (['high', 'entry'] as const).map((grade) => keyOf(shop, grade));
  const report = machinesReport(fitted.fit, { technicians, machines, records }, now, other);
  const difference = report.machines.find(({ machine }) => machine === better)?.againstBaseline;
  if (!difference) throw new Error('the two machines are not compared');
  const [trueBetter, trueOther] = [trueWork(shop, better), trueWork(shop, other)];
  const [rawBetter, rawOther] = [rawWork(shop, better), rawWork(shop, other)];
  const of = (name: keyof Work): Compared => ({
    range: figures[name].read(difference),
    truth: figures[name].differ(trueBetter, trueOther),
    raw: figures[name].differ(rawBetter, rawOther),
  });
  return { passes: of('passes'), hours: of('hours'), water: of('water'), drying: of('drying') };
}

/** Every extracted job of the year as it would have come out with this machine, by the mechanism itself. */
function trueWork(shop: SimulatedShop, tool: string): Work {
  return meanWork(
    shop.records.flatMap((record, i) =>
      Array.from({ length: drawsPerJob }, (_, d) => {
        const outcome = shop.withTool(i, tool, createRandom(i, d));
        return outcome === undefined ? [] : [workOf(record, outcome)];
      }).flat(),
    ),
  );
}

/** What the jobs that this machine did came to. */
function rawWork({ records, outcomes }: SimulatedShop, tool: string): Work {
  return meanWork(records.flatMap((record, i) => (record.extractor === tool ? [workOf(record, outcomes[i])] : [])));
}

function workOf({ sections }: SimulatedShop['records'][number], outcome: Outcome): Work {
  const surface = sections.map(({ surfaceM2 = 1 }) => surfaceM2);
  return {
    passes: outcome.sections.reduce((sum, { made }, s) => sum + made * surface[s], 0) / total(surface),
    hours: outcome.hours,
    water: outcome.wettestPerM2,
    drying: outcome.dryingHours,
  };
}

function meanWork(all: readonly Work[]): Work {
  const of = (name: keyof Work) => mean(all.map((work) => work[name]));
  return { passes: of('passes'), hours: of('hours'), water: of('water'), drying: of('drying') };
}

function summary(all: readonly Compared[]): string {
  const truth = mean(all.map((one) => one.truth));
  const errors = all.map((one) => one.range.p50 - one.truth);
  const overRaw = mean(errors.map(Math.abs)) / mean(all.map((one) => Math.abs(one.raw - one.truth)));
  const held = mean(all.map(({ range, truth: at }) => Number(range.p05 <= at && at <= range.p95)));
  const bias = mean(errors) / truth;
  const sd = Math.sqrt(mean(errors.map((error) => (error - bias * truth) ** 2))) / Math.abs(truth);
  const width = mean(all.map(({ range }) => (range.p95 - range.p05) / (2 * 1.645))) / Math.abs(truth);
  return `error ${overRaw.toFixed(2)} of raw, 90 % range holds ${(100 * held).toFixed(0)} %; truth ${truth.toFixed(3)}, bias ${(100 * bias).toFixed(0)} %, spread ${(100 * sd).toFixed(0)} % where said ${(100 * width).toFixed(0)} %`;
}

function keyOf({ machines }: SimulatedShop, grade: string): string {
  const machine = machines.find((one) => one.grade === grade);
  if (machine === undefined) throw new Error(`no ${grade} machine`);
  return machine.key;
}

function total(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0);
}

function mean(values: readonly number[]): number {
  return total(values) / values.length;
}
