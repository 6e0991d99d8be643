import fc from 'fast-check';
import type { FinishedJob, FinishedJobInput } from '../../src/domain/record.ts';
import { checkRecord, type RecordContext } from '../../src/domain/record-rules.ts';
import * as words from '../../src/domain/vocabulary.ts';

export const technicians = ['t-a', 't.b', 'T_c'];
export const machines = ['m1', 'm2'];
export const context: RecordContext = {
  now: new Date('2030-01-01T00:00:00Z'),
  technicians: new Set(technicians),
  machines: new Set(machines),
};

const maybe = <T>(arbitrary: fc.Arbitrary<T>) => fc.option(arbitrary, { nil: undefined });
const number = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const above0 = (max: number) => fc.double({ min: 0, max, minExcluded: true, noNaN: true });
/** Text that spreadsheets, CSV and JSON are likely to trip over. */
const awkward = fc.array(
  fc.oneof(
    fc.string({ unit: 'grapheme', maxLength: 8 }),
    fc.constantFrom(
      "'",
      "''=",
      '=',
      '+',
      '-',
      '@',
      '"',
      '""',
      ',',
      ';',
      '\t',
      '\r',
      '\n',
      '\r\n',
      ' ',
      '\uFEFF',
      'é',
      '😀',
    ),
  ),
  { maxLength: 12 },
);
const note = awkward.map((parts) => parts.join('').replaceAll('\0', '').slice(0, 1900)).map(wellFormed);
const ref = awkward
  .map((parts) =>
    wellFormed(
      parts
        .join('')
        .replace(/\p{Cc}/gu, '')
        .slice(0, 64),
    ),
  )
  .filter((text) => !/^\.{0,2}$/.test(text.trim()));

const litres = fc.option(fc.tuple(number(0, 300), number(0, 300)), { nil: undefined });

const section = fc.record({
  area: fc.constantFrom(...words.areas),
  count: maybe(fc.integer({ min: 1, max: 20 })),
  surfaceM2: maybe(above0(30)),
  fabric: fc.constantFrom(...words.fabrics),
  soil: fc.constantFrom(...words.soils),
  stains: maybe(fc.uniqueArray(fc.constantFrom(...words.stains))),
  method: fc.constantFrom(...words.methods),
  brush: maybe(fc.constantFrom(...words.brushes)),
  wetPasses: fc.integer({ min: 0, max: 12 }),
  dryPasses: maybe(fc.integer({ min: 0, max: 20 })),
  sprayedLitres: maybe(number(0, 20)),
  recoveredLitres: maybe(number(0, 20)),
  technician: maybe(fc.constantFrom(...technicians)),
  result: maybe(fc.constantFrom(...words.results)),
});

const drying = fc
  .record({
    aid: maybe(fc.constantFrom(...words.dryingAids)),
    airC: maybe(number(-20, 60)),
    rhPercent: maybe(number(1, 100)),
    airSpeedMs: maybe(number(0, 15)),
    wet: maybe(fc.array(number(0, 10), { maxLength: 3 })),
    dry: maybe(fc.array(number(11, 100), { maxLength: 3 })), // at most, as `finishedAt` lies so long before `now`
  })
  .map(({ wet, dry, ...rest }) => {
    const checks = [
      ...(dry ?? []).map((hours) => ({ hours, dry: true })),
      ...(wet ?? []).map((hours) => ({ hours, dry: false })),
    ];
    return { ...rest, ...((wet ?? dry) ? { checks } : {}) };
  });

/** Any record that the contract takes, as it is sent. */
export const sentRecord: fc.Arbitrary<FinishedJobInput> = fc
  .record({
    ref,
    finishedAt: fc
      .tuple(
        fc.date({ min: new Date('2000-01-03T00:00:00Z'), max: new Date('2029-12-26T00:00:00Z'), noInvalidDate: true }),
        fc.constantFrom('Z', '+00:00', '-11:30', '+14:00'),
      )
      .map(([date, offset]) => date.toISOString().replace('Z', offset)),
    bodyStyle: fc.constantFrom(...words.bodyStyles),
    modelYear: maybe(fc.integer({ min: 1950, max: 2032 })),
    seatsRemoved: maybe(fc.boolean()),
    labour: fc
      .uniqueArray(fc.constantFrom(...technicians), { minLength: 1 })
      .chain((keys) =>
        fc.tuple(...keys.map((technician) => number(0.5, 1000).map((minutes) => ({ technician, minutes })))),
      ),
    extractor: maybe(fc.constantFrom(null, ...machines)),
    dilution: maybe(above0(10_000)),
    solutionC: maybe(number(0, 100)),
    litres,
    finalVacuum: maybe(fc.boolean()),
    sections: fc.array(section, { minLength: 1, maxLength: 4 }),
    drying: maybe(drying),
    quoted: maybe(
      fc.record({ hours: maybe(above0(1000)), price: maybe(number(0, 1e6)), estimate: maybe(fc.uuid({ version: 4 })) }),
    ),
    outcome: maybe(
      fc.record({
        handover: maybe(fc.constantFrom(...words.results)),
        comeback: maybe(fc.constantFrom(...words.comebacks)),
        damage: maybe(fc.constantFrom(...words.damages)),
      }),
    ),
    note: maybe(note),
  })
  .map(({ litres: totals, ...record }) => withoutAbsent({ ...record, ...totalsOf(totals) }));

/** The same in its stored form. */
export const storedRecord: fc.Arbitrary<FinishedJob> = sentRecord.map((sent) => {
  const checked = checkRecord(sent, context);
  if (!checked.ok) throw new Error(JSON.stringify(checked.faults));
  return checked.record;
});

/** At least what four sections of 20 L could hold, so that no total is less than their sum. */
function totalsOf(totals: [number, number] | undefined): Partial<FinishedJobInput> {
  return totals ? { sprayedLitres: totals[0] + 80, recoveredLitres: totals[1] + 80 } : {};
}

function wellFormed(text: string): string {
  return text.replace(/\p{Surrogate}/gu, '');
}

/** Absent, not undefined: as JSON has it. Also −0 becomes 0, which JSON cannot tell apart. */
function withoutAbsent<T>(value: T): T {
  return JSON.parse(JSON.stringify(value));
}
