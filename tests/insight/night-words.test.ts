import { describe, expect, it } from 'vitest';
import { nightInWords } from '../../src/insight/night-words.ts';

const night = (p05: number, p50: number, p95: number) => [
  { term: 'int', p05: 1, p50: 2, p95: 3 },
  { term: 'night', p05: Math.log(p05), p50: Math.log(p50), p95: Math.log(p95) },
];

describe('contract: what is said of nights', () => {
  it('tells how long an hour’s drying takes at night, where all of the range is a tenth longer', () => {
    expect(nightInWords(night(1.6, 2, 2.5))).toBe(
      'Nights, from 18:00 to 8:00, dry more slowly here: what takes an hour by day takes 2.0 hours at night (90 % range 1.6 to 2.5).',
    );
  });

  it('is nothing where nights may be as days, or the model knows of none', () => {
    expect(nightInWords(night(1.05, 1.5, 2.1))).toBeUndefined();
    expect(nightInWords(night(1, 1, 1))).toBeUndefined();
    expect(nightInWords([])).toBeUndefined();
  });
});
