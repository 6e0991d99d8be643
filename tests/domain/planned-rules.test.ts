import { describe, expect, it } from 'vitest';
import { checkPlanned } from '../../src/domain/planned-rules.ts';

const context = {
  now: new Date('2025-03-05T10:00:00Z'),
  technicians: new Set(['mira', 'odo']),
  machines: new Set(['drum-a']),
};
const section = { area: 'front-seat', fabric: 'knit', soil: 'heavy', method: 'extraction' };
const plan = { bodyStyle: 'sedan', extractor: 'drum-a', technician: 'mira', sections: [section] };

describe('contract: a planned job', () => {
  it('is read with its defaults', () => {
    expect(checkPlanned(plan, context)).toMatchObject({
      ok: true,
      value: { crew: 1, seatsRemoved: false, sections: [{ count: 1, stains: [] }] },
    });
  });

  it('has what only a finished job has named as no field of it', () => {
    const finished = { ...plan, ref: 'A-1', sections: [{ ...section, wetPasses: 2 }] };
    expect(pointersOf(finished)).toEqual(['/ref', '/sections/0/wetPasses']);
  });

  it.each(['9999-12-31T23:59:59Z', '1990-01-01T00:00:00Z', '2026-12-01T09:00:00'])(
    'does not begin at %s',
    (startAt) => {
      const reading = checkPlanned({ ...plan, startAt }, context);
      expect(reading).toMatchObject({ ok: false, faults: [{ pointer: '/startAt', value: startAt }] });
      expect(JSON.stringify(reading)).toContain('a time with its offset, from 2000 to 2199');
    },
  );

  it('has every fault named at once: shape, unknown keys and a year to come', () => {
    const bad = {
      ...plan,
      extractor: 'drum-b',
      technician: 'miro',
      modelYear: 2035,
      sections: [{ ...section, soil: 'medium', technician: 'nobody' }],
    };
    expect(pointersOf(bad)).toEqual([
      '/extractor',
      '/modelYear',
      '/sections/0/soil',
      '/sections/0/technician',
      '/technician',
    ]);
    const reading = checkPlanned(bad, context);
    const text = reading.ok ? '' : reading.faults.map(({ message }) => message).join('\n');
    expect(text).toContain('sections[0].soil is "medium": one of light, moderate, heavy, severe');
    expect(text).toContain('did you mean mira?');
    expect(text).toContain('did you mean drum-a?');
    expect(text).toContain('PUT /v1/technicians adds it');
  });

  it('may be anything, and never more than a list of faults comes of it', () => {
    for (const input of [null, 7, 'x', [], {}, { sections: 5 }, { sections: [null] }, { technician: {} }])
      expect(checkPlanned(input, context).ok).toBe(false);
  });
});

function pointersOf(input: unknown): string[] {
  const reading = checkPlanned(input, context);
  return reading.ok ? [] : reading.faults.map(({ pointer }) => pointer).sort();
}
