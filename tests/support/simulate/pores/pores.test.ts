import { describe } from 'vitest';
import { holdsOfBlindShop } from '../blind-shop.ts';
import { simulatePores } from './shop.ts';

describe('the simulated shop of pores', () => {
  // No slip of its own that the contract doubts: its people leave out, round and write the usual.
  holdsOfBlindShop(simulatePores);
});
