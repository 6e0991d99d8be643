import { logNormalInterval, logNormalProbability } from '../inference/normal.ts';
import { ofTechnician } from './by-technician.ts';
import { beforeEntries, predictorAt } from './layout.ts';
import { donePassesEntries } from './rows/passes-rows.ts';
import {
  isHabit,
  type SecondPasses,
  type SecondPassHabit,
  type SoilClass,
  saysTwoAtMost,
  secondPassesByRule,
  soilClass,
} from './second-pass.ts';
import type { FittedModel } from './shop-fit.ts';
import type { DoneJob, ShopView } from './shop-view.ts';
import { isExtracted } from './work-section.ts';

/** Somebody's sections of one class of soil. */
interface Work {
  readonly technician: string;
  readonly soil: SoilClass;
  readonly sections: readonly Made[];
}

/** Passes made of one section, with the log effort to be expected there of an ordinary person. */
interface Made {
  readonly passes: number;
  readonly isClean: boolean;
  readonly expected: number;
}

/** So many of somebody's latest sections are enough to tell a habit. */
const latest = 120;

/** In how many of the sections where the first pass did it a second is made: never, or by habit, any share of these being as likely. */
const shares = [0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.99] as const;

/** Standard deviations of people's spread at which somebody's own effort is tried. */
const efforts = Array.from({ length: 25 }, (_, k) => 0.25 * (k - 12));

/** Rounds in which the share of people with the habit and each one's chance of it settle. */
const rounds = 20;

/**
 * Everybody's habit, by what a fit of the passes says of each section: with few efforts below one pass among somebody's sections, and many
 * below two, the person needs more passes; with too few single passes for the number of three and more, the second is made to be safe.
 * Each one's own effort is integrated over, and the share of people with the habit is that of this shop, held to the rule.
 *
 * @param passes the model as fitted; its likeliest spreads and coefficients are taken as they are
 * **Checked** tests/models/second-pass.test.ts, against shops drawn with the habit and without
 */
export function secondPassesLearnt(passes: FittedModel, shop: ShopView): SecondPasses {
  const rule = secondPassesByRule(shop.rules).people;
  const work = workOf(passes, shop);
  const likelihoods = work.map(({ sections }) => likelihoodByShare(sections, passes));
  let people = rule;
  let habits: readonly SecondPassHabit[] = [];
  for (let round = 0; round < rounds; round++) {
    habits = work.map(({ sections }, i) => habitOf(likelihoods[i], people, sections.length));
    const have = habits.reduce((sum, { certainty }) => sum + certainty, 0);
    people = { have: rule.have + have, haveNot: rule.haveNot + habits.length - have };
  }
  const byTechnician: Record<string, Partial<Record<SoilClass, SecondPassHabit>>> = {};
  work.forEach(({ technician, soil }, i) => {
    byTechnician[technician] = { ...ofTechnician(byTechnician, technician), [soil]: habits[i] };
  });
  const anyoneAt = (soil: SoilClass) => {
    const known = habits.filter((_, i) => work[i].soil === soil);
    const sum = known.reduce((total, habit) => total + (isHabit(habit) ? habit.chance : 0), 0);
    return sum / (rule.have + rule.haveNot + known.length);
  };
  return { people, anyone: { light: anyoneAt('light'), soiled: anyoneAt('soiled') }, byTechnician };
}

/** Whether what sections say of the passes needed is the same by both. */
export function readAlike(jobs: readonly DoneJob[], before: SecondPasses, now: SecondPasses): boolean {
  return jobs.every(({ sections }) =>
    sections.every((section) => saysTwoAtMost(before, section) === saysTwoAtMost(now, section)),
  );
}

function workOf(passes: FittedModel, { jobs }: ShopView): readonly Work[] {
  const found = new Map<string, { technician: string; soil: SoilClass; sections: Made[] }>();
  for (const done of latestFirst(jobs))
    for (const section of done.sections) {
      if (!isExtracted(section) || section.wetPasses === 0) continue;
      const [technician, soil] = [section.technician, soilClass(section)];
      const key = JSON.stringify([technician, soil]);
      const work = found.get(key) ?? { technician, soil, sections: [] };
      found.set(key, work);
      if (work.sections.length < latest) work.sections.push(made(passes, done, section));
    }
  return [...found.values()];
}

function latestFirst(jobs: readonly DoneJob[]): readonly DoneJob[] {
  return jobs
    .map((done) => ({ done, at: Date.parse(done.job.finishedAt) }))
    .sort((a, b) => b.at - a.at || (a.done.job.ref < b.done.job.ref ? -1 : 1))
    .map(({ done }) => done);
}

function made({ layout, posterior }: FittedModel, done: DoneJob, section: DoneJob['sections'][number]): Made {
  const [{ mode }] = posterior.points;
  const entries = [...donePassesEntries(layout, done, section), ...beforeEntries(layout, done.job.finishedAt)];
  return { passes: section.wetPasses, isClean: section.result === 'clean', expected: predictorAt(mode, entries) };
}

/** Likelihood of somebody's passes at each share, over all efforts that this person may need; in ratio to the greatest. */
function likelihoodByShare(sections: readonly Made[], { posterior }: FittedModel): readonly number[] {
  const [{ tau, sigma }] = posterior.points;
  const logs = efforts.map((z) => {
    const own = shares.map(() => -0.5 * z * z);
    for (const section of sections) addSection(own, section, (log) => (log - section.expected - z * tau[0]) / sigma);
    return own;
  });
  const top = Math.max(...logs.flat());
  return shares.map((_, i) => logs.reduce((sum, own) => sum + Math.exp(own[i] - top), 0));
}

/** @param at standardises a log effort */
function addSection(logs: number[], { passes, isClean }: Made, at: (log: number) => number): void {
  const one = at(0);
  if (isClean && passes === 1) {
    const needed = logNormalProbability(one);
    shares.forEach((share, i) => {
      logs[i] += needed + Math.log1p(-share);
    });
  } else if (isClean && passes === 2) {
    const [single, two] = [Math.exp(logNormalProbability(one)), Math.exp(logNormalInterval(one, at(Math.LN2)))];
    shares.forEach((share, i) => {
      logs[i] += Math.log(two + share * single);
    });
  } else {
    const above = at(Math.log(isClean ? passes - 1 : passes));
    const log = isClean ? logNormalInterval(above, at(Math.log(passes))) : logNormalProbability(-above);
    for (let i = 0; i < logs.length; i++) logs[i] += log;
  }
}

function habitOf(likelihoods: readonly number[], { have, haveNot }: SecondPasses['people'], sections: number) {
  const prior = (i: number) => (i === 0 ? haveNot : have / (shares.length - 1)) / (have + haveNot);
  const weights = likelihoods.map((likelihood, i) => prior(i) * likelihood);
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  const chance = weights.reduce((sum, weight, i) => sum + weight * shares[i], 0) / total;
  return { chance, certainty: 1 - weights[0] / total, sections };
}
