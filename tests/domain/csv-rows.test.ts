import { describe, expect, it } from 'vitest';
import { asCsvFault, inputOf, readHeader } from '../../src/domain/csv-rows.ts';
import { checkRecord } from '../../src/domain/record-rules.ts';
import { context } from './arbitrary-record.ts';

const needed = {
  ref: 'J-1',
  finished_at: '2026-06-15T11:30:00+02:00',
  body_style: 'sedan',
  labour: 't-a:90;t.b:30',
  area: 'rear-bench',
  fabric: 'knit',
  soil: 'light',
  method: 'extraction',
  wet_passes: '2',
};

describe('contract: rows become a record', () => {
  it('one section a row, the job from the first', () => {
    const read = recordOf([needed, { ...needed, area: 'front-seat' }]);
    expect(read).toMatchObject({
      ref: 'J-1',
      labour: [
        { technician: 't-a', minutes: 90 },
        { technician: 't.b', minutes: 30 },
      ],
      sections: [{ area: 'rear-bench' }, { area: 'front-seat' }],
    });
  });

  it('US units become ours', () => {
    const us = {
      surface_sqft: '10',
      sprayed_gal: '1',
      recovered_floz: '64',
      job_sprayed_gal: '2',
      air_f: '77',
      solution_f: '200',
    };
    expect(recordOf([{ ...needed, ...us }])).toMatchObject({
      sprayedLitres: 2 * 3.785411784,
      solutionC: expect.closeTo(93.3333, 4),
      sections: [
        {
          surfaceM2: expect.closeTo(0.9290304, 12),
          sprayedLitres: 3.785411784,
          recoveredLitres: expect.closeTo(3.785411784 / 2, 12),
        },
      ],
      drying: { airC: 25 },
    });
  });

  it('checks, lists, booleans as spreadsheets write them, and guarded texts', () => {
    const cells = { checks: '2:wet; 5.5:dry', stains: 'drink;mud', seats_removed: 'TRUE', note: "'=1+1", air_c: '-5' };
    expect(recordOf([{ ...needed, ...cells }])).toMatchObject({
      seatsRemoved: true,
      note: '=1+1',
      drying: {
        airC: -5,
        checks: [
          { hours: 2, dry: false },
          { hours: 5.5, dry: true },
        ],
      },
      sections: [{ stains: ['drink', 'mud'] }],
    });
  });
});

describe('contract: faults of a file name the column and the line', () => {
  it.each<[string, Record<string, string>[], object]>([
    [
      'a cell off the list',
      [needed, { ...needed, soil: 'medium' }],
      { field: 'soil', line: 3, message: 'soil is "medium": one of light, moderate, heavy, severe' },
    ],
    [
      'a word for a number',
      [{ ...needed, surface_m2: '1,5' }],
      { field: 'surface_m2', line: 2, message: 'surface_m2 is "1,5": a number above 0 up to 30' },
    ],
    [
      'a US unit beyond the bounds, as it stands in the file',
      [{ ...needed, solution_f: '300' }],
      { field: 'solution_f', value: '300', message: 'solution_f is "300": a number from 32 to 212' },
    ],
    [
      'the same of a section, with its line',
      [needed, { ...needed, surface_sqft: '500' }],
      // 30 m² are 322.917 ft², 1000 L 264.172 US gal (NIST Handbook 44, appendix C): told no wider than they are.
      {
        field: 'surface_sqft',
        value: '500',
        line: 3,
        message: 'surface_sqft is "500": a number above 0 up to 322.91',
      },
    ],
    [
      'gallons that are no number, and more of them than can be',
      [{ ...needed, job_sprayed_gal: 'full' }],
      { field: 'job_sprayed_gal', message: 'job_sprayed_gal is "full": a number from 0 to 264.17' },
    ],
    [
      'less in the tanks than in the sections',
      [{ ...needed, job_sprayed_gal: '1', sprayed_gal: '2.5' }],
      {
        field: 'job_sprayed_gal',
        message: 'job_sprayed_gal is "1": not less than the 2.5 of the extracted sections together',
      },
    ],
    [
      'labour that is no pair',
      [{ ...needed, labour: 't-a' }],
      { field: 'labour', message: 'labour holds "t-a": technician:minutes, several joined with ;' },
    ],
    [
      'a check neither wet nor dry',
      [{ ...needed, checks: '2:damp' }],
      { field: 'checks', message: 'checks holds "damp": hours:wet or hours:dry, several joined with ;' },
    ],
    [
      'rows that disagree',
      [
        { ...needed, note: 'a' },
        { ...needed, note: 'b' },
      ],
      {
        field: 'note',
        line: 3,
        message: 'note is "a" on line 2 and "b" on line 3: a job\'s fields are the same on each of its rows',
      },
    ],
    [
      'one field by two columns',
      [{ ...needed, surface_m2: '1', surface_sqft: '10' }],
      {
        field: 'surface_sqft',
        line: 2,
        message: 'surface_sqft and another column both give surface_m2: fill one of them',
      },
    ],
    ['an unknown technician', [{ ...needed, section_technician: 't-z' }], { field: 'section_technician', line: 2 }],
  ])('%s', (_, rows, fault) => {
    expect(faultsOf(rows)).toMatchObject([fault]);
  });

  it('a row of another width than the header', () => {
    const read = readHeader(Object.keys(needed));
    if ('faults' in read) throw new Error('header refused');
    expect(inputOf([{ line: 7, cells: ['J-1'] }], read.columns).faults).toMatchObject([
      { line: 7, message: 'line 7 has 1 cells, the header 9' },
    ]);
  });

  it('a header that is misspelt, doubled or short', () => {
    const names = Object.keys(needed);
    expect(readHeader([...names, 'sprayd_l'])).toMatchObject({
      faults: [{ message: '"sprayd_l": not a column here; did you mean sprayed_l?' }],
    });
    expect(readHeader([...names, 'soil'])).toMatchObject({
      faults: [{ message: 'the column "soil" stands there twice' }],
    });
    expect(readHeader(names.slice(1))).toMatchObject({ faults: [{ message: 'ref: a file needs this column' }] });
  });
});

function read(rows: readonly Record<string, string>[]) {
  const names = [...new Set(rows.flatMap((row) => Object.keys(row)))];
  const header = readHeader(names);
  if ('faults' in header) throw new Error(JSON.stringify(header.faults));
  const csvRows = rows.map((row, i) => ({ line: i + 2, cells: names.map((name) => row[name] ?? '') }));
  return { ...inputOf(csvRows, header.columns), csvRows, header: header.columns };
}

function recordOf(rows: readonly Record<string, string>[]): unknown {
  const { input, faults } = read(rows);
  expect(faults).toEqual([]);
  const checked = checkRecord(input, context);
  return checked.ok ? checked.record : checked.faults;
}

function faultsOf(rows: readonly Record<string, string>[]) {
  const { input, faults, csvRows, header } = read(rows);
  if (faults.length > 0) return faults;
  const checked = checkRecord(input, context);
  return checked.ok ? [] : checked.faults.map((fault) => asCsvFault(fault, csvRows, header));
}
