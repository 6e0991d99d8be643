import { describe, expect, it } from 'vitest';
import { printed, printedDifference } from '../../src/insight/printed.ts';

describe('contract: numbers in a sentence', () => {
  it('have the minus of print, and no sign where they round to zero', () => {
    expect([-1.25, -0.04, 0, 0.04, 1.25].map((value) => printed(value, 1))).toEqual([
      '−1.3',
      '0.0',
      '0.0',
      '0.0',
      '1.3',
    ]);
  });

  it('have a plus where they are a difference that is one', () => {
    expect([-0.34, 0.4, -0.4, 0, 1.6].map((value) => printedDifference(value, 0))).toEqual(['0', '0', '0', '0', '+2']);
  });
});
