import { describe, expect, it } from 'vitest';
import { checkRecord } from '../../src/domain/record-rules.ts';
import { readJob } from '../../src/http/job-form-input.ts';
import { jobFaultsInWords } from '../../src/pages/job-fault-words.ts';
import type { Units } from '../../src/pages/measures.ts';

const van = {
  ref: 'V-1',
  finishedAt: '2025-03-05T09:30',
  bodyStyle: 'van',
  'sections.0.area': 'front-seat',
  'sections.0.fabric': 'knit',
  'sections.0.soil': 'heavy',
  'sections.0.method': 'extraction',
  'sections.0.wetPasses:number': '2',
  'labour.0.technician': 'ada',
  'labour.0.minutes:number': '80',
};

/** What the form of this job says is wrong. */
function said(more: Readonly<Record<string, string>>, units: Units = 'si'): string[] {
  const { input, form, faults } = readJob(Object.entries({ ...van, ...more }), { units, timeZone: 'UTC' });
  const lists = { technicians: new Set(['ada']), machines: new Set<string>() };
  const checked = checkRecord(input, { now: new Date('2025-04-01T00:00:00Z'), ...lists });
  const wrong = checked.ok ? faults : [...faults, ...checked.faults];
  return jobFaultsInWords(wrong, form, units).map(({ message }) => message);
}

describe('contract: what is wrong with a job, in the words of its form', () => {
  it('names a drying check as such, and not the hours that were quoted', () => {
    const hours = { 'drying.checks.1.hours:number': 'three', 'drying.checks.1.dry:flag': 'yes' };
    const first = { 'drying.checks.0.hours:number': '2', 'drying.checks.0.dry:flag': 'no' };
    expect(said({ ...first, ...hours })).toEqual(['Drying check 2, hours is "three": a number from 0 to 1000']);
    expect(said({ 'quoted.hours:number': 'three' })).toEqual(['Hours quoted is "three": a number above 0 up to 1000']);
  });

  it('asks whether it was dry, and tells of checks that go against each other, without an inside name', () => {
    expect(said({ 'drying.checks.0.hours:number': '3' })).toEqual(['Drying check 1, dry or wet: say which it was']);
    const dry = { 'drying.checks.0.hours:number': '3', 'drying.checks.0.dry:flag': 'yes' };
    expect(said({ ...dry, 'drying.checks.1.hours:number': '5', 'drying.checks.1.dry:flag': 'no' })).toEqual([
      'Drying check 2 is wet at 5 h, but drying check 1 is dry at 3 h: what was dry does not get wet again',
    ]);
  });

  it('says of litres that come from tank levels no empty field in gallons', () => {
    const levels = { 'tank.cleanBefore:litres': '2', 'tank.cleanAfter:litres': '1' };
    const [fault = ''] = said({ ...levels, 'sections.0.sprayedLitres:litres': '2' }, 'us');
    expect(fault).toMatch(/^Sprayed is 3\.785\d*: not less than the 7\.57.*, in L$/);
  });
});
