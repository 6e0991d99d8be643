import { describe, expect, it } from 'vitest';
import type { Fault } from '../../src/domain/faults.ts';
import { checkRecord, keysNamed } from '../../src/domain/record-rules.ts';

const context = {
  now: new Date('2026-06-15T12:00:00Z'),
  technicians: new Set(['mira', 'odo']),
  machines: new Set(['drum-a']),
};

/** An invented job that every rule accepts. */
const good = {
  ref: 'J-1',
  finishedAt: '2026-06-15T11:30:00+02:00',
  bodyStyle: 'sedan',
  labour: [{ technician: 'mira', minutes: 200 }],
  extractor: 'drum-a',
  sections: [{ area: 'front-seat', count: 2, fabric: 'knit', soil: 'heavy', method: 'extraction', wetPasses: 2 }],
};
const [front] = good.sections;

describe('contract: a record that is accepted', () => {
  it('comes back with its defaults filled in', () => {
    const { record } = accepted(good);
    expect(record).toMatchObject({ seatsRemoved: false, sections: [{ stains: [], result: 'clean' }] });
    expect(record).not.toHaveProperty('drying');
  });

  it('keeps its drying checks by hour, whatever order they came in, and says each once', () => {
    const checks = [
      { hours: 2, dry: true },
      { hours: 1, dry: false },
      { hours: 2, dry: true },
    ];
    const { record } = accepted({ ...good, drying: { checks } });
    expect(record.drying?.checks).toEqual([
      { hours: 1, dry: false },
      { hours: 2, dry: true },
    ]);
  });

  it('has one form: what says nothing is dropped', () => {
    const { record } = accepted({ ...good, drying: {}, quoted: {}, outcome: {}, note: '' });
    expect(record).toEqual(accepted(good).record);
  });

  it('names the estimate that was quoted in small letters, however it was sent', () => {
    const estimate = '0B9F3F4E-3F0A-4A5E-8F58-3A3F0F7F6A01';
    expect(accepted({ ...good, quoted: { estimate } }).record.quoted).toEqual({ estimate: estimate.toLowerCase() });
  });

  it('has its ref without the blanks about it, and no ref of blanks alone', () => {
    expect(accepted({ ...good, ref: ' a 13\u00A0' }).record.ref).toBe('a 13');
    const rule = 'text of 1 to 64 characters, no control characters, not one or two dots alone';
    expect(messages({ ...good, ref: '  ' })).toEqual([`ref is "  ": ${rule}`]);
    expect(messages({ ...good, ref: ' .. ' })).toEqual([`ref is " .. ": ${rule}`]);
  });

  it('may end minutes ahead of our clock, for phones run ahead, but no more', () => {
    accepted({ ...good, finishedAt: '2026-06-15T12:04:00Z' });
    expect(messages({ ...good, finishedAt: '2026-06-15T12:06:00Z' })).toEqual([
      'finishedAt is "2026-06-15T12:06:00Z": not in the future; here it is 2026-06-15T12:00:00.000Z',
    ]);
  });

  it('may round the hours of a drying check up by one, but foretell none', () => {
    const checkedAt = (...hours: number[]) => ({
      ...good,
      drying: { checks: hours.map((hour) => ({ hours: hour, dry: true })) },
    });
    accepted(checkedAt(2.4, 3.5)); // it ended 2.5 h ago
    expect(messages(checkedAt(2, 20))).toEqual([
      'drying.checks[1].hours is 20: not in the future; at most 3.5, as the work ended 2.50 h ago',
    ]);
    accepted({ ...checkedAt(1), finishedAt: '2026-06-15T12:00:00Z' });
    expect(messages({ ...checkedAt(1), finishedAt: '2026-06-16T12:00:00Z' })).toHaveLength(1);
  });

  it('names its technicians and its machine, each once', () => {
    const sections = [
      { ...front, technician: 'odo' },
      { ...front, technician: 'mira' },
    ];
    expect(keysNamed(accepted({ ...good, sections }).record)).toEqual({
      technicians: ['mira', 'odo'],
      machines: ['drum-a'],
    });
  });

  it('may name unknown keys where an import creates them', () => {
    const checked = checkRecord({ ...good, extractor: 'new' }, { ...context, createMissing: true });
    expect(checked.ok).toBe(true);
  });
});

describe('contract: faults name the field, what came and what is allowed', () => {
  it.each<[string, object, string]>([
    [
      'a word off the list',
      { sections: [{ ...front, soil: 'medium' }] },
      'sections[0].soil is "medium": one of light, moderate, heavy, severe',
    ],
    [
      'a misspelt word',
      { bodyStyle: 'sedna' },
      'bodyStyle is "sedna": one of coupe, hatchback, sedan, wagon, suv, suv-3row, minivan, pickup, van; did you mean sedan?',
    ],
    ['a misspelt field', { sprayedLiters: 3 }, 'sprayedLiters: not a field here; did you mean sprayedLitres?'],
    [
      'a misspelt field of a section',
      { sections: [{ ...front, surface_m2: 3 }] },
      'sections[0].surface_m2: not a field here; did you mean surfaceM2?',
    ],
    ['a field nobody could mean', { zzzzzzzzzz: 3 }, 'zzzzzzzzzz: not a field here'],
    ['a number as text', { dilution: '20' }, 'dilution is "20": a number above 0 up to 10000'],
    ['a number out of bounds', { solutionC: 140 }, 'solutionC is 140: a number from 0 to 100'],
    [
      'a number past all numbers',
      { dilution: JSON.parse('1e999') },
      'dilution is Infinity: a number above 0 up to 10000',
    ],
    [
      'a broken count',
      { sections: [{ ...front, wetPasses: 1.5 }] },
      'sections[0].wetPasses is 1.5: a whole number from 0 to 12',
    ],
    [
      'a field that must be there',
      { sections: [{ ...front, fabric: undefined }] },
      'sections[0].fabric is missing: one of flat-woven, knit, velour, suede-like, loop-carpet, cut-pile, headlining',
    ],
    ['no sections', { sections: [] }, 'sections is a list of 0: a list of 1 to 40'],
    ['a list without end', { sections: Array(5000).fill(front) }, 'sections is a list of 5000: a list of 1 to 40'],
    [
      'an object for a text',
      { ref: { a: 1 } },
      'ref is an object: text of 1 to 64 characters, no control characters, not one or two dots alone',
    ],
    [
      'NUL in a note',
      { note: 'a\0b' },
      'note is "a\\u0000b": text of at most 2000 characters, no NUL and no half of a surrogate pair',
    ],
    [
      'half a character',
      { note: 'a\uD83D' },
      'note is "a\uFFFD": text of at most 2000 characters, no NUL and no half of a surrogate pair',
    ],
    [
      'a ref that no address can hold',
      { ref: '..' },
      'ref is "..": text of 1 to 64 characters, no control characters, not one or two dots alone',
    ],
    [
      'a line break in a ref',
      { ref: 'a\nb' },
      'ref is "a\\nb": text of 1 to 64 characters, no control characters, not one or two dots alone',
    ],
    [
      'no such day',
      { finishedAt: '2026-02-30T10:00:00Z' },
      'finishedAt is "2026-02-30T10:00:00Z": a time with its offset (RFC 3339), such as 2026-03-14T16:05:00+01:00',
    ],
    [
      'a time without offset',
      { finishedAt: '2026-02-03T10:00:00' },
      'finishedAt is "2026-02-03T10:00:00": a time with its offset (RFC 3339), such as 2026-03-14T16:05:00+01:00',
    ],
    [
      'a job of the last century',
      { finishedAt: '1999-12-31T23:59:59Z' },
      'finishedAt is "1999-12-31T23:59:59Z": not before the year 2000',
    ],
    [
      'a car of the far future',
      { modelYear: 2029 },
      'modelYear is 2029: a whole number from 1950 to 2028 (next year + 1)',
    ],
    ['a quote by no estimate', { quoted: { estimate: 'x' } }, 'quoted.estimate is "x": a UUID'],
    [
      'a technician twice',
      { labour: [...good.labour, { technician: 'mira', minutes: 5 }] },
      'labour[1].technician is "mira": each technician once; labour[0] has it',
    ],
    [
      'no labour at all',
      { labour: [{ technician: 'mira', minutes: 0 }] },
      'labour is 0 minutes in all: above 0 and at most 4320 (72 h)',
    ],
    [
      'more labour than 72 hours',
      {
        labour: [
          { technician: 'mira', minutes: 4000 },
          { technician: 'odo', minutes: 321 },
        ],
      },
      'labour is 4321 minutes in all: above 0 and at most 4320 (72 h)',
    ],
    [
      'an unknown technician',
      { labour: [{ technician: 'mirra', minutes: 9 }] },
      'labour[0].technician is "mirra": a key on the shop\'s list of technicians; did you mean mira?',
    ],
    [
      'an unknown machine',
      { extractor: 'pump-9' },
      'extractor is "pump-9": a key on the shop\'s list of machines; PUT /v1/machines adds it',
    ],
    [
      'an unknown technician of a section',
      { sections: [{ ...front, technician: 'zed' }] },
      'sections[0].technician is "zed": a key on the shop\'s list of technicians; PUT /v1/technicians adds it',
    ],
    [
      'spot rounds without spots',
      { sections: [{ ...front, spotRounds: 1 }] },
      'sections[0].spotRounds is 1: only with method spot-then-extraction, and this one is extraction',
    ],
    [
      'a total below its parts',
      {
        sprayedLitres: 4,
        sections: [
          { ...front, sprayedLitres: 2.1 },
          { ...front, sprayedLitres: 2.2 },
        ],
      },
      'sprayedLitres is 4: not less than the 4.3 of the extracted sections together',
    ],
    [
      'wet after dry',
      {
        drying: {
          checks: [
            { hours: 3, dry: false },
            { hours: 2, dry: true },
          ],
        },
      },
      'drying.checks[0] is wet at 3 h, but drying.checks[1] is dry at 2 h: what was dry does not get wet again',
    ],
    [
      'wet and dry at once',
      {
        drying: {
          checks: [
            { hours: 3, dry: false },
            { hours: 3, dry: true },
          ],
        },
      },
      'drying.checks[0] is wet at 3 h, but drying.checks[1] is dry at 3 h: what was dry does not get wet again',
    ],
  ])('%s', (_, change, message) => {
    expect(messages({ ...good, ...change })).toEqual([message]);
  });

  it('all at once, of shape and of rules together, each with its pointer', () => {
    const bad = {
      ...good,
      finishedAt: '2031-01-01T00:00:00Z',
      extractor: 'drum-b',
      sections: [
        { ...front, soil: 'medium', technician: 'zed' },
        { ...front, wetPasses: -1 },
      ],
      drying: {
        checks: [
          { hours: 5, dry: false },
          { hours: 3, dry: true },
        ],
        aid: 'hair-dryer',
      },
      surprise: 1,
    };
    expect(new Set(faults(bad).map(({ pointer }) => pointer))).toEqual(
      new Set([
        '/sections/0/soil',
        '/sections/1/wetPasses',
        '/drying/aid',
        '/surprise',
        '/finishedAt',
        '/extractor',
        '/sections/0/technician',
        '/drying/checks/0',
      ]),
    );
  });

  it('of anything that is no object', () => {
    expect(messages([1, 2])).toEqual(['this is a list of 2: an object']);
    expect(messages(null)).toEqual(['this is null: an object']);
    expect(messages(undefined)).toEqual(['this is missing: an object']);
  });

  it('without repeating a huge value, and a hundred at most', () => {
    const [tooLong] = faults({ ...good, ref: 'x'.repeat(100_000) });
    expect(JSON.stringify(tooLong).length).toBeLessThan(400);
    const many = Object.fromEntries(Array.from({ length: 5000 }, (_, i) => [`f${i}`, i]));
    expect(faults({ ...good, ...many })).toHaveLength(101);
  });

  it('for the keys that objects are born with', () => {
    const hostile = JSON.parse(`{"__proto__": {"ref": "x"}, "constructor": 1, ${JSON.stringify(good).slice(1)}`);
    expect(messages(hostile)).toEqual(['__proto__: not a field here', 'constructor: not a field here']);
  });

  it('for a depth that no recursion would survive', () => {
    const deep = JSON.parse(`${'['.repeat(100_000)}${']'.repeat(100_000)}`);
    expect(messages({ ...good, note: deep })).toEqual([
      'note is a list of 1: text of at most 2000 characters, no NUL and no half of a surrogate pair',
    ]);
  });
});

describe('contract: what is kept but doubtful', () => {
  it('more recovered than sprayed, which no water model reads', () => {
    expect(accepted({ ...good, sprayedLitres: 5, recoveredLitres: 6 }).doubts).toEqual([
      {
        rule: 'recovered-exceeds-sprayed',
        pointer: '/recoveredLitres',
        field: 'recoveredLitres',
        message: 'recoveredLitres is 6: more than the 5 sprayed',
        leftOutOf: ['water'],
      },
    ]);
  });

  it.each<[string, object]>([
    ['recovered-exceeds-sprayed', { sections: [{ ...front, sprayedLitres: 1, recoveredLitres: 1.1 }] }],
    ['recovered-without-sprayed', { recoveredLitres: 6 }],
    ['litres-on-spot', { sections: [{ ...front, method: 'spot', sprayedLitres: 1 }] }],
    ['extraction-without-extractor', { extractor: null }],
    ['clean-without-a-pass', { sections: [{ ...front, wetPasses: 0 }] }],
    ['minutes-too-few', { labour: [{ technician: 'mira', minutes: 3.5 }] }],
    ['technician-without-minutes', { sections: [{ ...front, technician: 'odo' }] }],
  ])('%s', (rule, change) => {
    expect(accepted({ ...good, ...change }).doubts.map((doubt) => doubt.rule)).toEqual([rule]);
  });

  it('hours in place of minutes, which no model of hours reads', () => {
    const twoOfThem = [
      { technician: 'mira', minutes: 3.25 },
      { technician: 'odo', minutes: 2.5 },
    ];
    expect(accepted({ ...good, labour: twoOfThem }).doubts).toMatchObject([
      {
        message: expect.stringMatching(/^labour is 5\.75 minutes in all: .* hours in place of minutes\?$/),
        leftOutOf: ['labour'],
      },
    ]);
  });

  it('nothing about a good record, nor about spot work without an extractor or of a few minutes', () => {
    expect(accepted(good).doubts).toEqual([]);
    const spot = { ...good, extractor: null, sections: [{ ...front, method: 'spot' }] };
    expect(accepted({ ...spot, labour: [{ technician: 'mira', minutes: 8 }] }).doubts).toEqual([]);
    expect(accepted({ ...good, extractor: null, sections: [{ ...front, method: 'spot' }] }).doubts).toEqual([]);
  });
});

function accepted(input: unknown) {
  const checked = checkRecord(structuredClone(input), context);
  if (!checked.ok) throw new Error(JSON.stringify(checked.faults));
  return checked;
}

function faults(input: unknown): readonly Fault[] {
  const checked = checkRecord(input, context);
  if (checked.ok) throw new Error('accepted, and should not have been');
  return checked.faults;
}

function messages(input: unknown): string[] {
  return faults(input).map(({ message }) => message);
}
