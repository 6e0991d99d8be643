/**
 * What is learnt of water where sections are read one by one, whose jobs have an error in common: invented shops of five people and an extractor
 * of each grade, three sections a job, the same shops with the job's tanks read instead beside them.
 * Inside: share of 90 % ranges that hold the true difference, of people against the others, of grades, of cloth; behind it the root of the mean
 * squared error of the log. Total: share of 80 % ranges that hold what is left in a further job's sections together, and its CRPS of the log.
 * Run: node --import tsx tests/bench/sections-read.ts [shops] [jobs] [sd of jobs] [sd of sections] [step of a section]
 */
import { createRandom, type Random } from '../../seed/random.ts';
import { type FinishedJob, finishedJob } from '../../src/domain/record.ts';
import { packedLength } from '../../src/inference/cholesky.ts';
import { crpsLogNormal } from '../../src/inference/scores.ts';
import { multiplier } from '../../src/insight/wetness/multipliers.ts';
import { fitShop } from '../../src/models/fit.ts';
import { columnCount, type Entries, type Layout, machineColumn, termColumn } from '../../src/models/layout.ts';
import { meanGap, measuredEntries, ownErrorVariance } from '../../src/models/rows/water-rows.ts';
import type { ShopFit } from '../../src/models/shop-fit.ts';
import { readAs, shopView } from '../../src/models/shop-view.ts';
import { type WaterForecast, waterForecast } from '../../src/models/water-forecast.ts';

const [shops, jobs, jobSd, sectionSd, step] = [40, 60, 0.25, 0.15, 0.05].map((usual, i) =>
  Number(process.argv[2 + i] ?? usual),
);
const furtherJobs = 40;
const firstSeed = 9100;
const now = new Date('2026-05-01T08:00:00Z');

const people = ['ann', 'ben', 'cat', 'dan', 'eve'];
const grades = ['entry', 'standard', 'high'] as const;
const fabrics = ['flat-woven', 'velour', 'knit'] as const;
const technicians = people.map((key) => ({ key, name: key }));
const machines = grades.map((grade) => ({ key: grade, name: grade, kind: 'extractor' as const, grade }));
const areas = [
  { area: 'front-seat', surfaceM2: 1.6 },
  { area: 'rear-bench', surfaceM2: 1.7 },
  { area: 'floor-carpet', surfaceM2: 2.2 },
] as const;

interface Truth {
  readonly people: readonly number[];
  readonly grades: Readonly<Record<string, number>>;
  readonly cloth: Readonly<Record<string, number>>;
}

interface Made {
  readonly whole: FinishedJob;
  readonly sections: FinishedJob;
  readonly leftLitres: number;
}

function truthOf(random: Random): Truth {
  return {
    people: people.map(() => 0.2 * random.normal()),
    grades: {
      entry: 0.22 + 0.15 * random.normal(),
      standard: 0.1 * random.normal(),
      high: -0.28 + 0.15 * random.normal(),
    },
    cloth: {
      'flat-woven': 0,
      velour: 0.15 + 0.15 * random.normal(),
      knit: 0.05 + 0.15 * random.normal(),
      'loop-carpet': 0.2 + 0.2 * random.normal(),
    },
  };
}

function made(truth: Truth, i: number, random: Random): Made {
  const person = Math.floor(random.uniform() * people.length);
  const grade = grades[Math.floor(random.uniform() * grades.length)];
  const ofJob = -1.05 + truth.people[person] + truth.grades[grade] + jobSd * random.normal();
  const read = areas.map((one, s) => {
    const fabric = s === 2 ? 'loop-carpet' : fabrics[Math.floor(random.uniform() * fabrics.length)];
    const left = one.surfaceM2 * Math.exp(ofJob + truth.cloth[fabric] + sectionSd * random.normal());
    return { ...one, fabric, left, sprayed: left * random.between(4, 6) };
  });
  const toStep = (litres: number, by: number) => Number((by * Math.round(litres / by)).toFixed(3));
  const readings = (left: number, sprayed: number, by: number) => {
    const sprayedLitres = toStep(sprayed, by);
    return { sprayedLitres, recoveredLitres: Math.min(sprayedLitres, toStep(sprayed - left, by)) };
  };
  const section = ({ area, surfaceM2, fabric }: (typeof read)[number]) => ({
    area,
    surfaceM2,
    fabric,
    soil: 'moderate' as const,
    method: 'extraction' as const,
    wetPasses: 2,
    dryPasses: 2,
  });
  const job = {
    ref: `J-${i}`,
    finishedAt: new Date(now.getTime() - (i + 1) * 36e5 * 12).toISOString(),
    bodyStyle: 'sedan' as const,
    labour: [{ technician: people[person], minutes: 200 }],
    extractor: grade,
    finalVacuum: false,
  };
  const total = read.reduce((sum, { left }) => sum + left, 0);
  const sprayed = read.reduce((sum, one) => sum + one.sprayed, 0);
  return {
    leftLitres: total,
    whole: finishedJob.parse({ ...job, ...readings(total, sprayed, step), sections: read.map(section) }),
    sections: finishedJob.parse({
      ...job,
      sections: read.map((one) => ({ ...section(one), ...readings(one.left, one.sprayed, step) })),
    }),
  };
}

interface Tally {
  inside: number;
  count: number;
  squares: number;
  width: number;
}
const tally = (): Tally => ({ inside: 0, count: 0, squares: 0, width: 0 });

function add(to: Tally, truth: number, low: number, middle: number, high: number): void {
  to.inside += low <= truth && truth <= high ? 1 : 0;
  to.count += 1;
  to.squares += (middle - truth) ** 2;
  to.width += high - low;
}

const told = ({ inside, count, squares, width }: Tally) =>
  `${((100 * inside) / count).toFixed(1)} % (${Math.sqrt(squares / count).toFixed(3)}, width ${(width / count).toFixed(3)})`;

const kinds = ['whole', 'sections'] as const;
const results = Object.fromEntries(
  kinds.map((kind) => [kind, { people: tally(), grades: tally(), cloth: tally(), total: tally(), crps: 0, sigma: 0 }]),
);

for (let s = 0; s < shops; s++) {
  const random = createRandom(firstSeed + s, 1);
  const truth = truthOf(random);
  const records = Array.from({ length: jobs }, (_, i) => made(truth, i, random));
  const further = Array.from({ length: furtherJobs }, (_, i) => made(truth, i, random));
  for (const kind of kinds) {
    const fitted = fitShop({ records: records.map((one) => one[kind]), technicians, machines, now });
    if (fitted.status !== 'fitted') throw new Error('not fitted');
    judge(fitted.fit, truth, further, results[kind]);
  }
}
for (const kind of kinds) {
  const { crps, sigma, ...of } = results[kind];
  const each = Object.entries(of).map(([name, one]) => `${name} ${told(one)}`);
  console.log(
    `${kind}: ${each.join(', ')}, CRPS ${(crps / of.total.count).toFixed(4)}, sigma ${(sigma / shops).toFixed(3)}`,
  );
}

function judge(fit: ShopFit, truth: Truth, further: readonly Made[], to: (typeof results)[string]): void {
  people.forEach((key, p) => {
    const others = people.filter((other) => other !== key);
    const rest = truth.people.reduce((sum, one, i) => sum + (i === p ? 0 : one / others.length), 0);
    const { p05, p50, p95 } = multiplier(fit.models.water, key, others);
    add(to.people, truth.people[p] - rest, Math.log(p05), Math.log(p50), Math.log(p95));
  });
  const forecast = waterForecast(fit.models.water);
  const { layout } = forecast;
  for (const [grade, other] of [
    ['high', 'standard'],
    ['high', 'entry'],
    ['entry', 'standard'],
  ] as const)
    addNormal(to.grades, truth.grades[grade] - truth.grades[other], forecast, [
      ...gradeEntries(layout, grade, 1),
      ...gradeEntries(layout, other, -1),
    ]);
  for (const fabric of ['velour', 'knit', 'loop-carpet'] as const)
    addNormal(to.cloth, truth.cloth[fabric], forecast, [
      [termColumn(layout, fabric === 'loop-carpet' ? 'loop' : fabric), 1],
    ]);
  const view = shopView(
    further.map(({ whole }) => whole),
    technicians,
    machines,
    fit.rules,
    readAs(fit),
  );
  to.sigma += Math.sqrt(forecast.meanSigma2);
  for (const done of view.jobs) {
    const one = further.find(({ whole }) => whole.ref === done.job.ref);
    if (!one) throw new Error('no such job');
    const entries = measuredEntries(view, layout, done, done.sections);
    const mean = forecast.expected(entries) + meanGap(view, done, done.sections);
    const sd = Math.sqrt(varianceOf(forecast, entries) + forecast.meanSigma2 + ownErrorVariance(fit, done.sections));
    const seen = Math.log(one.leftLitres / 5.5);
    add(to.total, seen, mean - 1.2816 * sd, mean, mean + 1.2816 * sd);
    to.crps += crpsLogNormal(Math.exp(seen), mean, sd);
  }
}

function gradeEntries(layout: Layout, grade: string, sign: 1 | -1): Entries {
  const own = grade === 'standard' ? [] : [[termColumn(layout, grade), sign] as const];
  const machine = machineColumn(layout, grade);
  return [...own, ...(machine === undefined ? [] : [[machine, sign] as const])];
}

function addNormal(to: Tally, truth: number, forecast: WaterForecast, entries: Entries): void {
  const mean = forecast.expected(entries);
  const sd = Math.sqrt(varianceOf(forecast, entries));
  add(to, truth, mean - 1.645 * sd, mean, mean + 1.645 * sd);
}

function varianceOf({ layout, covariance }: WaterForecast, entries: Entries): number {
  const dense = new Float64Array(columnCount(layout));
  for (const [column, value] of entries) dense[column] += value;
  let sum = 0;
  for (let i = 0; i < dense.length; i++)
    for (let j = 0; j < dense.length; j++)
      sum += dense[i] * dense[j] * covariance[packedLength(Math.max(i, j)) + Math.min(i, j)];
  return sum;
}
