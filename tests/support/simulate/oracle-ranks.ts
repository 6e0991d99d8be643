import { createRandom } from '../../../seed/random.ts';
import type { Outcome, SimulatedShop } from './types.ts';

/**
 * Where an outcome lies among fifty draws of the oracle for the same job, in fifths, over two hundred jobs: chi-square of four degrees against
 * evenly. Its 99.9 % point is 18.5.
 */
export function oracleRanks(shop: Pick<SimulatedShop, 'plan'>, value: (outcome: Outcome) => number): number {
  const fifths = new Array<number>(5).fill(0);
  for (let i = 0; i < 200; i += 1) {
    const { outcome, draw } = shop.plan(i);
    const random = createRandom(99, i);
    let below = 0;
    for (let d = 0; d < 49; d += 1) below += Number(value(draw(random)) < value(outcome));
    fifths[Math.floor(below / 10)] += 1;
  }
  return fifths.reduce((sum, count) => sum + (count - 40) ** 2 / 40, 0);
}
