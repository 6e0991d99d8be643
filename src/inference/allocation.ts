import { randomGenerator } from './random.ts';

const SHUFFLE_SEED = 20090401;

/**
 * Gives each of n draws a design point: point k gets ⌊n w_k⌋ of them and the largest remainders one more, so that the mixture's weights carry no
 * sampling noise. The order is a shuffle that depends on n alone.
 */
export function allocateDraws(points: readonly { readonly weight: number }[], nDraws: number): Int32Array {
  const counts = countsByWeight(
    points.map((point) => point.weight),
    nDraws,
  );
  const order = shuffledOrder(nDraws);
  const allotted = new Int32Array(nDraws);
  let next = 0;
  counts.forEach((count, k) => {
    for (let i = 0; i < count; i++) allotted[order[next++]] = k;
  });
  return allotted;
}

function countsByWeight(weights: readonly number[], nDraws: number): number[] {
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  const shares = weights.map((weight) => (nDraws * weight) / total);
  const counts = shares.map(Math.floor);
  const missing = nDraws - counts.reduce((sum, count) => sum + count, 0);
  const byRemainder = shares
    .map((share, k) => ({ k, left: share - Math.floor(share) }))
    .sort((a, b) => b.left - a.left || a.k - b.k);
  for (let i = 0; i < missing; i++) counts[byRemainder[i].k] += 1;
  return counts;
}

let lastOrder = new Int32Array(0);

/** The shuffle of the last n is kept: a pure function of n, asked for again and again. */
function shuffledOrder(n: number): Int32Array {
  if (lastOrder.length === n) return lastOrder;
  const generator = randomGenerator(SHUFFLE_SEED);
  const order = Int32Array.from({ length: n }, (_, i) => i);
  for (let i = n - 1; i > 0; i--) {
    const j = generator.integer(i + 1);
    [order[i], order[j]] = [order[j], order[i]];
  }
  lastOrder = order;
  return order;
}
