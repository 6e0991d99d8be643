import { normalStore, randomGenerator } from '../../inference/random.ts';

/** What a stream of random numbers is for. Each has a seed of its own, so that one never moves another. */
const streams = {
  passesPredictors: 11,
  labourPredictors: 12,
  waterPredictors: 13,
  dryingPredictors: 14,
  labourError: 15,
  waterJobError: 16,
  dryingError: 17,
  air: 18,
  workEnds: 19,
  tanks: 20,
  passesError: 1000,
  givingUp: 2000,
  waterSectionError: 3000,
  toBeSafe: 4000,
} as const;

export type Stream = keyof typeof streams;

/** Room for this many predictors at a time, so that jobs of nearly equal size share their numbers. */
const block = 16;

// The numbers are constants of their seed: keeping them changes no answer, only its time.
const normals = normalStore();
const studentDraws = new Map<string, Float64Array>();

/** A stream's standard normals, one a draw; `section` counts where every section has a stream. */
export function normalDraws(stream: Stream, nDraws: number, section = 0): Float64Array {
  return normals(streams[stream] + section, nDraws);
}

/** At least nRows × nDraws standard normals of a stream. */
export function predictorNormals(stream: Stream, nDraws: number, nRows: number): Float64Array {
  return normals(streams[stream], nDraws * block * Math.ceil(nRows / block));
}

/** Student t errors of the labour model, location 0 and scale 1, one a draw. */
export function studentErrors(degreesOfFreedom: number, nDraws: number): Float64Array {
  const name = `${degreesOfFreedom}:${nDraws}`;
  const kept = studentDraws.get(name);
  if (kept !== undefined) return kept;
  const generator = randomGenerator(streams.labourError);
  const made = Float64Array.from({ length: nDraws }, () => generator.studentT(degreesOfFreedom));
  studentDraws.set(name, made);
  return made;
}
