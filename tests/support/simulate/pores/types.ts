import type { PlannedJob } from '../../../../src/domain/planned.ts';
import type { Fabric } from '../../../../src/domain/vocabulary.ts';
import type { Outcome, Person, Tool } from '../types.ts';

/** A technician: hands that spray, press and wait their own way, and the care taken over papers. */
export interface Hand extends Person {
  /** Litres at each wet stroke, how tight the nozzle sits, how long it stays: multipliers. */
  readonly trigger: number;
  readonly seal: number;
  readonly dwell: number;
  /** What the eye lets pass, in logarithms of soil; what it misses or imagines; the wish for one pass more. */
  readonly lenience: number;
  readonly sight: number;
  readonly oneMore: number;
  /** From 0, whatever is left at the end of the day, to 1, at once and in full. */
  readonly care: number;
}

/** An extractor by what makes it suck and flush. */
export interface Extractor extends Tool {
  readonly liftKpa: number;
  readonly airM3h: number;
  /** Soil loosened in a stroke against a standard machine's. */
  readonly flush: number;
  readonly heated: boolean;
}

export interface Climate {
  readonly meanC: number;
  /** Half the difference of summer and winter, of day and night. */
  readonly swingC: number;
  readonly dayC: number;
  /** Relative humidity outdoors, 0 to 1. */
  readonly humidity: number;
  /** What the bay is heated to; how much of the night it feels; its air, and how often that changes behind closed doors. */
  readonly heatedC: number;
  readonly exposure: number;
  readonly bayM3: number;
  readonly changes: number;
}

/** A shop's ways and its customers' cloth: multipliers unless said otherwise. */
export interface Ways {
  readonly climate: Climate;
  readonly tempo: number;
  /** The work on one m² at one stroke, and the way to reach a section. */
  readonly stroke: number;
  readonly fetch: number;
  /** Logarithm of soil beyond the rules', by judged soil. */
  readonly soil: Readonly<Record<'light' | 'moderate' | 'heavy' | 'severe', number>>;
  readonly cloth: Readonly<Record<Fabric, number>>;
  readonly foam: number;
  readonly wick: number;
  /** Calls, customers and questions in an hour of work. */
  readonly callsAnHour: number;
  /** The last round is made with the extractor, so that its tank gets the water. */
  readonly vacuumIsExtractor: boolean;
}

/** All that is settled before the work. */
export interface Setting {
  readonly planned: PlannedJob;
  readonly hand: Hand;
  readonly mate: Hand | undefined;
  readonly tool: Extractor | undefined;
  readonly ways: Ways;
  readonly startHour: number;
}

/** What a job came to, with what only those who were there can write down. */
export interface Worked extends Outcome {
  readonly surfaces: readonly number[];
  readonly spotRounds: readonly number[];
  readonly airC: number;
  readonly rhPercent: number;
  /** Time on the clock, with the help of the mate. */
  readonly elapsedHours: number;
}
