import type { Random } from '../../../seed/random.ts';
import type { Machine, Technician } from '../../../src/domain/lists.ts';
import type { PlannedJob } from '../../../src/domain/planned.ts';
import type { FinishedJob } from '../../../src/domain/record.ts';

/** `lumps`: soil that decays with random stubborn lumps, water as a product of factors. `strips`: the work strip by strip, water by stepping two layers. */
export type MechanismKind = 'lumps' | 'strips';

export interface SimulationOptions {
  readonly nTechnicians?: number;
  /** One person (by index) who leaves this many times the water in. */
  readonly overWet?: { readonly technician: number; readonly factor: number };
  /** Spread of the other people's water, standard deviation of the logarithm. */
  readonly wetSpread?: number;
  /** What the tanks are read to, litres. */
  readonly readingStep?: 1 | 0.5 | 0.1;
  /** Shares of the jobs with litres, with drying checks, with surfaces written down. */
  readonly measuredShare?: number;
  readonly checkedShare?: number;
  readonly surfaceShare?: number;
  /** The better the machine, the dirtier the vehicles it gets. */
  readonly harderToBetter?: boolean;
}

export interface SectionOutcome {
  /** Passes until clean, whether or not anyone would have gone on for so long. */
  readonly needed: number;
  readonly made: number;
  readonly clean: boolean;
  readonly dryPasses: number;
  readonly leftPerM2: number;
}

/** One draw of what a job comes to. */
export interface Outcome {
  readonly sections: readonly SectionOutcome[];
  /** Person-hours. */
  readonly hours: number;
  /** Through the machine, over the extracted sections. */
  readonly sprayedLitres: number;
  readonly recoveredLitres: number;
  /** Left in: over the extracted sections, over all, and per m² of the wettest. */
  readonly extractedLeftLitres: number;
  readonly leftLitres: number;
  readonly wettestPerM2: number;
  /** Until the slowest section is dry. */
  readonly dryingHours: number;
}

export interface Person {
  readonly key: string;
  readonly pace: number;
  /** Multiplier on water left in, on the same work with the same dry passes. */
  readonly wet: number;
  readonly dryRatio: number;
  readonly eye: number;
  readonly dryingHabit: number;
}

export interface Tool {
  readonly key: string;
  readonly grade: Machine['grade'];
  /** Multipliers against a standard machine: passes needed, time a pass, water left; exact for `lumps`, leanings for `strips`. */
  readonly passes: number;
  readonly time: number;
  readonly water: number;
}

/** What is particular to one shop, against the rules of thumb: multipliers. */
export interface ShopCharacter {
  readonly soil: number;
  readonly time: number;
  readonly water: number;
  readonly drying: number;
}

/** One job as set, before chance: all that the oracle knows. */
export interface JobSetting {
  readonly planned: PlannedJob;
  readonly person: Person;
  readonly mate: Person | undefined;
  readonly tool: Tool | undefined;
  readonly character: ShopCharacter;
  /** Start of the work, hours since 1970, UTC. */
  readonly startHour: number;
}

/** Draws from the true predictive distribution of a job, given all of its setting. */
export type Mechanism = (setting: JobSetting, random: Random) => Outcome;

export interface PlannedCase {
  readonly planned: PlannedJob;
  /** The oracle: another draw of what this job would come to. */
  draw(random: Random): Outcome;
  /** What it came to, and how that was written down. */
  readonly outcome: Outcome;
  readonly record: FinishedJob;
}

export interface SimulatedShop {
  readonly technicians: readonly Technician[];
  readonly machines: readonly Machine[];
  readonly records: readonly FinishedJob[];
  /** The same jobs as they really came out. */
  readonly outcomes: readonly Outcome[];
  readonly truth: {
    readonly people: readonly Person[];
    readonly tools: readonly Tool[];
    readonly character: ShopCharacter;
  };
  /** The job of the i-th record once more, as it would come out with another extractor; undefined where none was used. */
  withTool(i: number, tool: string, random: Random): Outcome | undefined;
  /** The i-th job of the month after the records. */
  plan(i: number): PlannedCase;
}
