/** A seeded source of chance for the invented shop; the same seed gives the same shop on every machine. */
export interface Random {
  /** Uniform on [0, 1). */
  uniform(): number;
  between(low: number, high: number): number;
  chance(probability: number): boolean;
  normal(): number;
  /** exp(sd · normal): median 1. */
  spread(sd: number): number;
  poisson(mean: number): number;
  /** Gamma with the given shape and mean 1. */
  gamma(shape: number): number;
  /** One key, drawn by its weight. */
  pick<T extends string>(weights: Readonly<Partial<Record<T, number>>>): T;
}

/**
 * A generator of its own for (seed, stream), so that one job more or less does not move the jobs after it.
 *
 * **Source** sfc32 of the PractRand test suite (Doty-Humphrey), seeded through splitmix32; from memory.
 */
export function createRandom(seed: number, stream = 0): Random {
  const uniform = sfc32(seed, stream);
  const normal = () => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform());
  return {
    uniform,
    between: (low, high) => low + (high - low) * uniform(),
    chance: (probability) => uniform() < probability,
    normal,
    spread: (sd) => Math.exp(sd * normal()),
    poisson: (mean) => poisson(mean, uniform),
    gamma: (shape) => gamma(shape, uniform, normal) / shape,
    pick: (weights) => pick(weights, uniform),
  };
}

function sfc32(seed: number, stream: number): () => number {
  const next = splitmix32((seed ^ Math.imul(stream + 1, 0x9e3779b1)) >>> 0);
  let [a, b, c, counter] = [next(), next(), next(), 1];
  const step = () => {
    const sum = (a + b + counter) | 0;
    counter = (counter + 1) | 0;
    a = b ^ (b >>> 9);
    b = (c + (c << 3)) | 0;
    c = (((c << 21) | (c >>> 11)) + sum) | 0;
    return (sum >>> 0) / 4294967296;
  };
  for (let i = 0; i < 15; i += 1) step();
  return step;
}

function splitmix32(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state + 0x9e3779b9) | 0;
    let mixed = Math.imul(state ^ (state >>> 16), 0x21f0aaad);
    mixed = Math.imul(mixed ^ (mixed >>> 15), 0x735a2d97);
    return mixed ^ (mixed >>> 15);
  };
}

/** Product of uniforms (Knuth); means here are below ten. */
function poisson(mean: number, uniform: () => number): number {
  const limit = Math.exp(-mean);
  let count = 0;
  for (let product = uniform(); product > limit; product *= uniform()) count += 1;
  return count;
}

/** Marsaglia and Tsang (2000) for shape ≥ 1. */
function gamma(shape: number, uniform: () => number, normal: () => number): number {
  if (shape < 1) throw new RangeError(`shape is ${shape}: at least 1 here`);
  const d = shape - 1 / 3;
  const c = 1 / Math.sqrt(9 * d);
  for (;;) {
    const x = normal();
    const v = (1 + c * x) ** 3;
    if (v > 0 && Math.log(1 - uniform()) < 0.5 * x * x + d - d * v + d * Math.log(v)) return d * v;
  }
}

function pick<T extends string>(weights: Readonly<Partial<Record<T, number>>>, uniform: () => number): T {
  const keys = Object.keys(weights) as T[]; // border: Object.keys forgets the key type
  const total = keys.reduce((sum, key) => sum + (weights[key] ?? 0), 0);
  let left = uniform() * total;
  for (const key of keys) {
    left -= weights[key] ?? 0;
    if (left < 0) return key;
  }
  return keys[keys.length - 1] as T;
}
