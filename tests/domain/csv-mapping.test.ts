import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { amountText, readAmount } from '../../src/domain/csv-amounts.ts';
import { guessMapping, guessWords } from '../../src/domain/csv-guess.ts';
import { type CsvMapping, csvMapping, mappingFaults } from '../../src/domain/csv-mapping.ts';
import { profileOf } from '../../src/domain/csv-profile.ts';
import { headerCells, rowsOf } from '../../src/domain/csv-rows.ts';
import { targetNamed } from '../../src/domain/csv-targets.ts';
import { translator } from '../../src/domain/csv-translate.ts';
import { instantText, readDay, readTime } from '../../src/domain/csv-when.ts';
import { guessWord } from '../../src/domain/csv-words.ts';
import { storedRecord } from './arbitrary-record.ts';

const noLists = { technicians: [], machines: [] };

async function read(rows: readonly (readonly string[])[]) {
  const lines = async function* () {
    for (const [i, cells] of rows.entries()) yield { line: i + 1, cells };
  };
  const profile = await profileOf(lines());
  if (!profile) throw new Error('no header');
  return profile;
}

const guessed = async (rows: readonly (readonly string[])[]) =>
  guessMapping(await read(rows), { dayOrder: 'day-month' });

describe('contract: guessing what a foreign column is', () => {
  it('knows common headings of the trade in several forms', async () => {
    const headings: Readonly<Record<string, string>> = {
      'Job #': 'ref',
      'WORK ORDER': 'ref',
      'Seat material': 'fabric',
      'Dirt level': 'soil',
      'Date Completed': 'finished_at',
      Tech: 'technician',
      'Labor hours': 'minutes',
      'Room temp (F)': 'air_c',
      'Humidity %': 'rh_percent',
      sprayed_gal: 'sprayed_l',
      Comments: 'note',
    };
    for (const [heading, target] of Object.entries(headings)) {
      const { from } = await guessed([[heading], ['']]);
      expect(Object.keys(from), heading).toEqual([target]);
    }
  });

  it('knows a column by its contents where the heading says nothing', async () => {
    const { from } = await guessed([
      ['x', 'y'],
      ['velour', 'saloon'],
      ['suede', 'estate'],
    ]);
    expect(from).toEqual({ fabric: 'c0', body_style: 'c1' });
  });

  it('is not led by a heading whose contents are something else', async () => {
    expect((await guessed([['Wet passes'], ['yes'], ['no']])).from).not.toHaveProperty('wet_passes');
    expect((await guessed([['Date'], ['blue'], ['red']])).from).not.toHaveProperty('finished_at');
  });

  it('tells bare minutes from our own pairs under the same heading', async () => {
    expect((await guessed([['labour'], ['90']])).from).toEqual({ minutes: 'c0' });
    expect((await guessed([['labour'], ['ida:90']])).from).toEqual({ labour: 'c0' });
  });

  it('takes units and the order of day and month from the file', async () => {
    const mapping = await guessed([
      ['Date', 'Water used (fl oz)', 'Air °F'],
      ['02/03/2025', '64', '70'],
      ['02/13/2025', '70', '68'],
    ]);
    expect(mapping).toMatchObject({ dayOrder: 'month-day', units: { job_sprayed_l: 'US fl oz', air_c: '°F' } });
  });

  it('reads labour in the unit of its heading', async () => {
    const unit = async (heading: string, ...cells: string[]) => {
      const { from, units } = await guessed([[heading], ...cells.map((cell) => [cell])]);
      return from.minutes === 'c0' ? units.minutes : 'not labour';
    };
    for (const heading of ['Hrs', 'Time (h)', 'Labour hr', 'Hours', 'Labour, hour'])
      expect(await unit(heading, '30', '45'), heading).toBe('hours');
    for (const heading of ['Minutes', 'Labour (min)', 'Time in mins'])
      expect(await unit(heading, '3', '2.5'), heading).toBe('minutes');
    expect(await unit('Time (h)', '3.50', '2.25')).toBe('hours');
  });

  it('takes labour for hours where no minutes look like that', async () => {
    const unit = async (...cells: string[]) =>
      (await guessed([['Labour', 'Bay'], ...cells.map((cell) => [cell, 'A'])])).units.minutes;
    expect(await unit('3,5', '2,75')).toBe('hours');
    expect(await unit('3.5', '22')).toBe('hours');
    expect(await unit(...Array(19).fill('3'), '240')).toBe('hours');
    expect(await unit('210', '165')).toBeUndefined();
    expect(await unit('20', '24')).toBeUndefined();
    expect(await unit('22.5', '180')).toBeUndefined();
    expect(await unit('')).toBeUndefined();
  });

  it('leaves a column of times of day what it is', async () => {
    expect((await guessed([['Time'], ['14:30'], ['9:15']])).from).toEqual({ finished_time: 'c0' });
    expect((await guessed([['Time'], ['3,5'], ['2,75']])).from).toEqual({ minutes: 'c0' });
  });

  it('knows other words for ours, and slips of the pen, and leaves the rest', () => {
    const meant = (target: string, word: string) => {
      const found = targetNamed(target);
      return found && guessWord(found, word, noLists);
    };
    expect(meant('soil', 'Medium')).toBe('moderate');
    expect(meant('soil', 'modrate')).toBe('moderate');
    expect(meant('body_style', 'Station Wagon')).toBe('wagon');
    expect(meant('seats_removed', 'Y')).toBe('yes');
    expect(meant('soil', 'sticky')).toBeUndefined();
  });
});

describe('contract: days, times and amounts as sheets write them', () => {
  it('reads days in the order that is chosen, and no day that the calendar lacks', () => {
    expect(readDay('3/4/2025', 'day-month')).toEqual({ day: '2025-04-03', time: undefined });
    expect(readDay('3/4/25 2:30 PM', 'month-day')).toEqual({ day: '2025-03-04', time: '14:30' });
    for (const order of ['day-month', 'month-day'] as const) {
      expect(readDay('2025-04-03 09:05:10', order)).toEqual({ day: '2025-04-03', time: '09:05' });
      expect(readDay('3 Apr 2025', order)?.day).toBe('2025-04-03');
      expect(readDay('Apr 3, 2025', order)?.day).toBe('2025-04-03');
    }
    for (const bad of ['31/02/2025', '2025-13-01', 'soon', '1/2', '3/4/2025 25:00'])
      expect(readDay(bad, 'day-month'), bad).toBeUndefined();
  });

  it('reads noon and midnight as clocks of twelve hours have them', () => {
    expect(['12:00 am', '12:00 PM', '1:05pm', '13:05 pm', '9:30'].map(readTime)).toEqual([
      '00:00',
      '12:00',
      '13:05',
      undefined,
      '09:30',
    ]);
  });

  it('sets a day on the shop’s clock, summer and winter', () => {
    expect(instantText('2025-07-01T17:00', 'America/New_York')).toBe('2025-07-01T17:00:00-04:00');
    expect(instantText('2025-01-01T08:15', 'America/New_York')).toBe('2025-01-01T08:15:00-05:00');
  });

  it('reads amounts with units, money and thousands, and ratios; what is no number stays', () => {
    expect(['3.5', '$1,250.00', '65 %', '20:1', '1:20', '2 L'].map((cell) => readAmount(cell, 'point'))).toEqual([
      3.5, 1250, 65, 20, 20, 2,
    ]);
    expect(['3,5', '1.250,5', '€ 80'].map((cell) => readAmount(cell, 'comma'))).toEqual([3.5, 1250.5, 80]);
    for (const bad of ['', 'n/a', '2 or 3', '1,2,3']) expect(readAmount(bad, 'point'), bad).toBeUndefined();
  });

  it('turns US units into ours: a US gallon is 231 cubic inches (NIST Handbook 44, appendix C)', () => {
    const litres = 231 * 2.54 ** 3 * 0.001;
    const read = amountText('2', { measured: 'litres', unit: 'US gal', decimal: 'point' });
    expect(Number(read)).toBeCloseTo(2 * litres, 9);
    expect(amountText('212', { measured: 'temperature', unit: '°F', decimal: 'point' })).toBe('100');
    expect(amountText('1:45', { measured: 'minutes', unit: 'hours', decimal: 'point' })).toBe('105');
  });
});

describe('identity: a file of our own', () => {
  it('is guessed whole and passes cell by cell as it is', async () => {
    await fc.assert(
      fc.asyncProperty(fc.array(storedRecord, { minLength: 1, maxLength: 5 }), async (records) => {
        const rows = records.flatMap(rowsOf);
        const profile = await read([headerCells, ...rows]);
        const guess = guessMapping(profile, { dayOrder: 'day-month' });
        const mapping = { ...guess, words: guessWords(profile, guess, noLists) };
        expect(mappingFaults(mapping, headerCells.length)).toEqual([]);
        const { header, row } = translator(mapping, headerCells.length, 'Asia/Kathmandu');
        expect(header).toEqual(headerCells);
        for (const cells of rows) expect(row({ line: 2, cells })).toEqual({ line: 2, cells });
      }),
    );
  });
});

describe('contract: a mapping', () => {
  const mapped = (from: CsvMapping['from']) => mappingFaults(csvMapping.parse({ from }), 3).map(({ target }) => target);

  it('names everything that a job needs and is not chosen', () => {
    expect(mapped({ ref: 'c0', soil: '=light' })).toEqual(
      expect.arrayContaining([
        'finished_at',
        'body_style',
        'technician',
        'minutes',
        'area',
        'fabric',
        'method',
        'wet_passes',
      ]),
    );
    expect(mapped({ ref: 'c0', soil: '=light' })).not.toContain('soil');
  });

  it('refuses what is told twice, unknown fields and columns that the file lacks', () => {
    expect(mapped({ labour: 'c0', technician: 'c1' })).toContain('labour');
    expect(mapped({ checks: 'c0', dried_after: 'c1' })).toContain('dried_after');
    expect(mapped({ ref: 'c3', hue: 'c0' })).toEqual(expect.arrayContaining(['ref', 'hue']));
  });

  it('tells a row that is wider or narrower than its header', () => {
    const { row } = translator(csvMapping.parse({ from: { ref: 'c0' } }), 3, 'UTC');
    expect(row({ line: 7, cells: ['a', 'b'] }).faults?.[0]?.message).toContain('line 7 has 2 cells, the header 3');
    expect(row({ line: 7, cells: ['a', 'b', 'c'] }).faults).toBeUndefined();
  });
});
