import { randomGenerator } from './random.ts';

const SHUFFLE_SEED = 20090401;

export interface Allocation {
  /** How many draws each point has. */
  readonly counts: readonly number[];
  /** The places of the first point's draws, then of the second's, and so on: a shuffle that depends on n alone. */
  readonly order: Int32Array;
}

/**
 * Gives each of n draws a design point: point k gets ⌊n w_k⌋ of them and the largest remainders one more, so that the mixture's weights carry no
 * sampling noise. `shift` turns the order round. Two posteriors that are independent must be given different ones: the order is the same for all, and
 * a draw with a large spread in one would have a large one in the other.
 */
export function allocateDraws(points: readonly { readonly weight: number }[], nDraws: number, shift = 0): Allocation {
  const weights = points.map((point) => point.weight);
  const order = shuffledOrder(nDraws).map((place) => (place + shift) % nDraws);
  return { counts: countsByWeight(weights, nDraws), order };
}

/** Calls once a point that has draws, with the range of its places in `order`. */
export function forEachPoint({ counts }: Allocation, visit: (point: number, from: number, to: number) => void): void {
  let from = 0;
  counts.forEach((count, point) => {
    if (count > 0) visit(point, from, from + count);
    from += count;
  });
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
