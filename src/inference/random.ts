import { normalQuantile } from './normal.ts';

/** A seeded stream of random numbers. Each call takes a fixed count of uniforms, so what follows never depends on what was drawn. */
export interface RandomGenerator {
  /** In (0, 1), never an end. One uniform. */
  uniform(): number;
  /** Standard normal, by inversion. One uniform. */
  normal(): number;
  /** Student's t with any degrees of freedom > 0, location 0, scale 1. Two uniforms. */
  studentT(degreesOfFreedom: number): number;
  /** Integer in 0..n−1. One uniform. */
  integer(n: number): number;
}

/**
 * Generator with 128 bits of state of its own (xoshiro128**), seeded from one 32-bit integer through splitmix32.
 *
 * **Source** D. Blackman, S. Vigna, Scrambled linear pseudorandom number generators, ACM TOMS 47 (2021); t by R. W. Bailey, Polar generation
 * of random variates with the t-distribution, Math. Comp. 62 (1994), in its trigonometric form.
 */
export function randomGenerator(seed: number): RandomGenerator {
  const nextBits = xoshiro128(seed);
  const uniform = (): number => ((nextBits() >>> 6) * 67108864 + (nextBits() >>> 6) + 0.5) / 4503599627370496;
  return {
    uniform,
    normal: () => normalQuantile(uniform()),
    studentT: (degrees) =>
      Math.sqrt(degrees * Math.expm1((-2 / degrees) * Math.log(uniform()))) * Math.cos(2 * Math.PI * uniform()),
    integer: (n) => Math.floor(uniform() * n),
  };
}

/** `count` standard normals of one seed. */
export function standardNormals(seed: number, count: number): Float64Array {
  const generator = randomGenerator(seed);
  const normals = new Float64Array(count);
  for (let i = 0; i < count; i++) normals[i] = generator.normal();
  return normals;
}

/** Keeps the normals that it has made, by seed and count: an estimate asks for the same ones each time. Held by the caller. */
export function normalStore(): (seed: number, count: number) => Float64Array {
  const kept = new Map<string, Float64Array>();
  return (seed, count) => {
    const key = `${seed}:${count}`;
    const known = kept.get(key);
    if (known) return known;
    const made = standardNormals(seed, count);
    kept.set(key, made);
    return made;
  };
}

function xoshiro128(seed: number): () => number {
  const split = splitmix32(seed);
  let a = split();
  let b = split();
  let c = split();
  let d = split();
  return () => {
    const result = Math.imul(rotateLeft(Math.imul(b, 5), 7), 9);
    const shifted = b << 9;
    c ^= a;
    d ^= b;
    b ^= c;
    a ^= d;
    c ^= shifted;
    d = rotateLeft(d, 11);
    return result >>> 0;
  };
}

function splitmix32(seed: number): () => number {
  let state = seed | 0;
  return () => {
    state = (state + 0x9e3779b9) | 0;
    let z = state ^ (state >>> 16);
    z = Math.imul(z, 0x21f0aaad);
    z ^= z >>> 15;
    z = Math.imul(z, 0x735a2d97);
    return z ^ (z >>> 15);
  };
}

const rotateLeft = (x: number, k: number): number => (x << k) | (x >>> (32 - k));
