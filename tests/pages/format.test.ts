import { describe, expect, it } from 'vitest';
import { datesInWords } from '../../src/pages/dates-in-words.ts';
import { formatsFor } from '../../src/pages/format.ts';

const instant = new Date('2025-03-03T23:30:00Z');
const now = new Date('2025-11-20T09:00:00Z');
const si = { now, timeZone: 'Europe/London', settings: { units: 'si', currency: 'GBP' } } as const;
const us = { now, timeZone: 'America/Denver', settings: { units: 'us', currency: 'USD' } } as const;

describe('contract: formats', () => {
  it('write times in the zone of the shop, wherever the server is', () => {
    expect(formatsFor(si).dateTime(instant)).toBe('Mon 3 Mar, 23:30');
    expect(formatsFor({ ...si, timeZone: 'Asia/Kathmandu' }).dateTime(instant)).toBe('Tue 4 Mar, 05:15');
    expect(formatsFor(us).time(instant)).toBe('04:30 PM');
  });

  it('name the year of a time where it is not the one that the shop’s calendar shows', () => {
    const { dateTime, dayShort } = formatsFor(si);
    expect(dateTime(new Date('2020-01-02T08:00:00Z'))).toBe('Thu, 2 Jan 2020, 08:00');
    expect(dayShort(new Date('2026-01-02T08:00:00Z'))).toBe('Fri, 2 Jan 2026');
    const newYear = new Date('2025-12-31T20:00:00Z');
    const east = formatsFor({ ...si, now: newYear, timeZone: 'Asia/Kathmandu' }).dateTime;
    expect([east(newYear), east(instant)]).toEqual(['Thu 1 Jan, 01:45', 'Tue, 4 Mar 2025, 05:15']);
  });

  it('write what the clock of a form shows as people say it, in no zone, and leave alone what is no time', () => {
    expect(formatsFor(us).clock('2026-11-27T02:03')).toMatch(/^November 27, 2026 at 2:03\sAM$/);
    const { clock } = formatsFor({ ...si, timeZone: 'Pacific/Auckland' });
    expect(['2026-11-27T02:03', '2026-11-27', 'noon'].map(clock)).toEqual([
      '27 November 2026 at 02:03',
      '2026-11-27',
      'noon',
    ]);
  });

  it('follow the English that the browser asks for, and no other language', () => {
    expect(formatsFor({ ...si, acceptLanguage: 'de-DE,de;q=0.9,en-US;q=0.8' }).date(instant)).toBe('March 3, 2025');
    expect(formatsFor({ ...si, acceptLanguage: 'de-DE,de;q=0.9' }).date(instant)).toBe('3 March 2025');
    expect(formatsFor({ ...si, acceptLanguage: 'en-XX!; nonsense' }).date(instant)).toMatch(/2025/);
  });

  it('write money in the currency of the shop, with its own digits', () => {
    expect(formatsFor(si).money(164.4)).toBe('£164.40');
    expect(formatsFor({ ...si, settings: { units: 'si', currency: 'JPY' } }).money(16440)).toMatch(/16,440$/);
  });

  it('write nothing as nothing, without a sign', () => {
    const { number, quantity, hours, money } = formatsFor(si);
    expect([number(-0.3), number(-0.04, 1), quantity('celsius', -0.2), hours(-0.001)]).toEqual([
      '0',
      '0.0',
      '0 °C',
      '0 min',
    ]);
    expect([money(-0.001), number(-0.6), quantity('celsius', -5)]).toEqual(['£0.00', '−1', '−5 °C']);
  });

  it('write months and days within a sentence as people say them, and nothing else', () => {
    const told = 'since 2024-11, since about 2024-10-29, job 2024-13 of 1 to 12, 0.2 to 0.5';
    expect(datesInWords(told, formatsFor(si))).toBe(
      'since Nov 2024, since about 29 October 2024, job 2024-13 of 1 to 12, 0.2 to 0.5',
    );
  });

  it('write a day of the calendar as that day, however far the zone is from Greenwich', () => {
    const days = ['Pacific/Kiritimati', 'Etc/GMT+12'].map((timeZone) => formatsFor({ ...si, timeZone }));
    expect(days.map((formats) => datesInWords('until 2025-01-04', formats))).toEqual(
      Array(2).fill('until 4 January 2025'),
    );
  });

  it('write hours as a clock tells them', () => {
    const { hours } = formatsFor(si);
    expect([3.5, 0.25, 4, 1.999, 0].map((value) => hours(value))).toEqual([
      '3 h 30 min',
      '15 min',
      '4 h',
      '2 h',
      '0 min',
    ]);
  });

  it('write quantities in the units of the shop', () => {
    // 1 US gallon is 3.785411784 L and 1 ft² 0.09290304 m² exactly (NIST Handbook 44, appendix C).
    expect(formatsFor(si).quantity('litres', 3.785411784)).toBe('3.8 L');
    expect(formatsFor(us).quantity('litres', 3.785411784)).toBe('1.00 gal');
    expect(formatsFor(us).quantity('surfaceM2', 0.9290304)).toBe('10.0 ft²');
    expect(formatsFor(us).quantity('celsius', 20)).toBe('68 °F');
    expect(formatsFor(si).quantity('celsius', -4)).toBe('\u22124 °C');
    expect(formatsFor(si).quantityRange('litresPerM2', 0.281, 0.604)).toBe('0.28 to 0.60 L/m²');
  });
});
