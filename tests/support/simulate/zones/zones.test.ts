import { describe } from 'vitest';
import { holdsOfBlindShop } from '../blind-shop.ts';
import { simulateZones } from './shop.ts';

describe('the simulated shop of zones', () => {
  // One to three jobs in a hundred are mistyped: litres swapped, minutes halved or doubled.
  holdsOfBlindShop(simulateZones, 0.03);
});
