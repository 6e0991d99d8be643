import type { ModelName } from '../domain/doubts.ts';
import type { Posterior } from '../inference/types.ts';
import type { ComebackCounts } from './comebacks.ts';
import type { GivingUp } from './giving-up.ts';
import type { Habits, Share } from './habits.ts';
import type { Layout } from './layout.ts';
import type { Looks } from './looks.ts';
import type { Nights } from './nights.ts';
import type { ReadingStep } from './reading-steps.ts';
import type { LeftOut, Odd } from './rows/model-rows.ts';
import type { RuleOfThumb } from './rules-of-thumb.ts';
import type { SecondPasses } from './second-pass.ts';
import type { SurfaceRatios } from './surface-ratios.ts';
import type { Tanks } from './tanks.ts';
import type { UsualAir } from './usual-air.ts';
import type { DryingGivenWater } from './water-and-drying.ts';

export const modelNames = ['passes', 'labour', 'water', 'drying'] as const satisfies readonly ModelName[];

/** Where a model could not be fitted: what stands in for it, and why. */
export interface StandIn {
  readonly from: 'the fit before' | 'rules of thumb';
  readonly reason: string;
}

/** One model as fitted: its posterior, what its columns are, and how many records it read and did not. */
export interface FittedModel {
  readonly standIn?: StandIn | undefined;
  readonly layout: Layout;
  readonly posterior: Posterior;
  readonly used: number;
  readonly leftOut: readonly LeftOut[];
  /** Of those that it read. */
  readonly odd: readonly Odd[];
}

/** Everything that an estimate needs to know of a shop. With no records it is the rules of thumb. */
export interface ShopFit {
  readonly fittedAt: string;
  readonly nJobs: number;
  readonly rules: readonly RuleOfThumb[];
  readonly models: Readonly<Record<ModelName, FittedModel>>;
  /** What ties the drying model to the water model. */
  readonly dryingGivenWater: DryingGivenWater;
  readonly givingUp: GivingUp;
  readonly comebacks: ComebackCounts;
  readonly surfaceRatios: SurfaceRatios;
  readonly vacuumHabits: Habits;
  readonly dryHabits: Habits;
  readonly usualAir: UsualAir;
  readonly readingSteps: readonly ReadingStep[];
  readonly tanks: Tanks;
  /** How far the water of a job's sections lies apart, as a factor on what the rules say. */
  readonly sectionSpread: number;
  readonly nights: Nights;
  readonly looks: Looks;
  readonly secondPasses: SecondPasses;
  readonly technicianShares: readonly Share[];
  readonly machineShares: readonly Share[];
}
