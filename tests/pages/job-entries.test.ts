import { describe, expect, it } from 'vitest';
import { lengthOf } from '../../src/pages/job-entries.ts';

describe('contract: how many parts a sent form has', () => {
  it('is one more than the highest place that a form is read by, whatever else is sent', () => {
    const sent = ['sections.0.area', 'sections.2.soil', 'labour.7.minutes:number'].map((name) => [name, ''] as const);
    expect(lengthOf(sent, 'sections')).toBe(3);
    const wild = ['sections.99999999.area', 'sections.x.area', 'sections.1e9.area'].map((name) => [name, ''] as const);
    expect(lengthOf([...sent, ...wild], 'sections')).toBe(3);
    expect(lengthOf([], 'sections')).toBe(0);
  });
});
