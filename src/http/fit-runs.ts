import { randomUUID } from 'node:crypto';
import { setTimeout as pause } from 'node:timers/promises';
import type { AppDeps, FitOutcome } from './env.ts';

/** A run asked for over HTTP, from its start to its end. */
export interface FitRun {
  readonly fitId: string;
  readonly startedAt: Date;
  /** How it ended; rejects where it broke down. */
  readonly ended: Promise<FitOutcome>;
}

/** How a run ended, `error` where it broke down; `fitId` is the fit that stands then, if any does. */
interface FitRunEnd {
  readonly fitId: string;
  readonly status: FitOutcome['status'] | 'error';
}

export interface FitRuns {
  /** Begins a run, or joins the one that this shop has already. */
  start(shopId: string): FitRun;
  /** The run that this shop has going. */
  going(shopId: string): FitRun | undefined;
  /** The run under this id, while it goes on. */
  find(shopId: string, fitId: string): FitRun | undefined;
  /** How the run under this id ended, of the latest ones: not each stores a fit under its id. */
  endUnder(shopId: string, fitId: string): FitRunEnd | undefined;
}

/** Each holds a connection to the database and computes in a process of its own until its end: more would starve pages. */
const mostAtOnce = 3;

/** Ends that are remembered, of all shops: many more than are asked for within minutes of each other. */
const mostEnds = 1000;

/** The runs that this process has going, one a shop and a few at once; one that outlives its request goes on and is logged when it ends. */
export function createFitRuns({ runFit, now, log, metrics }: AppDeps): FitRuns {
  const going = new Map<string, FitRun>();
  const ends = new Map<string, FitRunEnd & { readonly shopId: string }>();
  const inTurn = turns(mostAtOnce);
  return {
    start: (shopId) => {
      const joined = going.get(shopId);
      if (joined) return joined;
      const fitId = randomUUID();
      const ended = inTurn(() => runFit(shopId, fitId));
      const note = (end: FitRunEnd) => {
        going.delete(shopId);
        ends.set(fitId, { ...end, shopId });
        for (const oldest of ends.keys()) if (ends.size > mostEnds) ends.delete(oldest);
        metrics.fitEnded(end.status);
      };
      ended.then(
        (outcome) => {
          note(outcome);
          log.info({ shopId, fitId, status: outcome.status }, 'run ended');
        },
        (error: unknown) => {
          note({ fitId, status: 'error' });
          log.error({ shopId, fitId, err: error }, 'run broke down');
        },
      );
      const run = { fitId, startedAt: now(), ended };
      going.set(shopId, run);
      return run;
    },
    going: (shopId) => going.get(shopId),
    find: (shopId, fitId) => {
      const run = going.get(shopId);
      return run?.fitId === fitId ? run : undefined;
    },
    endUnder: (shopId, fitId) => {
      const end = ends.get(fitId);
      return end?.shopId === shopId ? end : undefined;
    },
  };
}

/** Begins so many works at once; the next when one has ended, in the order in which they came. */
function turns(most: number): <T>(work: () => Promise<T>) => Promise<T> {
  const waiting: (() => void)[] = [];
  let free = most;
  return async (work) => {
    if (free > 0) free -= 1;
    else await new Promise<void>((resolve) => waiting.push(resolve));
    try {
      return await work();
    } finally {
      const next = waiting.shift();
      if (next) next();
      else free += 1;
    }
  };
}

const defaultPatienceMs = 10_000;

/** How the run ended, or undefined once patience is over; the run itself goes on. */
export async function endOf(going: FitRun, patienceMs = defaultPatienceMs): Promise<FitOutcome | undefined> {
  return Promise.race([going.ended, pause(patienceMs, undefined, { ref: false })]);
}
