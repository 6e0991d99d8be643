import { describe, expect, it } from 'vitest';
import { type RandomGenerator, randomGenerator } from '../../src/inference/random.ts';
import { isBeyondNoise } from '../../src/insight/publication.ts';

const nRuns = 30_000;
type Gap = (rng: RandomGenerator) => number;

/** How often as many gaps as there are months are held to lie above zero, per thousand. */
function perThousand(n: number, seed: number, gap: Gap): number {
  const rng = randomGenerator(seed);
  let held = 0;
  for (let run = 0; run < nRuns; run++) {
    let [sum, squares] = [0, 0];
    for (let i = 0; i < n; i++) {
      const value = gap(rng);
      sum += value;
      squares += value * value;
    }
    const variance = (squares - (sum * sum) / n) / (n - 1);
    if (isBeyondNoise(sum / n, Math.sqrt(variance / n), n)) held += 1;
  }
  return (1000 * held) / nRuns;
}

/** Zero on average: mostly small losses, and now and then a large gain; the mean of the jobs of a month. */
const fewLargeGains: Gap = (rng) => {
  let mean = 0;
  for (let job = 0; job < 10; job++) mean += (1 + Math.log(rng.uniform())) / 10;
  return mean;
};

const alike: readonly (readonly [string, number, Gap])[] = [
  ['normal', 2, (rng) => rng.normal()],
  ['of heavy tails', 2, (rng) => rng.studentT(3)],
  ['of spreads that differ threefold and more', 2, (rng) => Math.exp(rng.normal()) * rng.normal()],
  ['skewed, a few large gains against many small losses', 4, fewLargeGains],
];

describe('recovery: the noise that a fit is allowed in its gaps', () => {
  it.each(alike)('one no worse than before is refused about once in a thousand times: gaps %s', (_name, most, gap) => {
    // Three standard errors of a share of 0.001 in 30,000 runs are 0.55 per thousand.
    for (const n of [4, 6, 12, 20]) expect(perThousand(n, 100 + n, gap), `${n} gaps`).toBeLessThan(most);
  });

  it('one that is clearly worse is refused, and of few months only where nearly all of them say the same', () => {
    const worseBy =
      (sds: number): Gap =>
      (rng) =>
        sds + rng.normal();
    expect(perThousand(12, 1, worseBy(2))).toBeGreaterThan(950);
    expect(perThousand(6, 2, worseBy(4))).toBeGreaterThan(900);
    expect(perThousand(4, 3, worseBy(10))).toBeGreaterThan(900);
  });
});
