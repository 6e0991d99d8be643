import { describe, expect, it } from 'vitest';
import type { PlannedJob } from '../../src/domain/planned.ts';
import { dryingAids, stains } from '../../src/domain/vocabulary.ts';
import { cautionsFor } from '../../src/models/cautions.ts';
import { estimateJob } from '../../src/models/estimate.ts';
import { context, fitOf, seats } from './shop-under-test.ts';

const soonDry = { after24h: 0, after48h: 0 };
const idsFor = (job: PlannedJob, wet = soonDry) => cautionsFor(job, wet).map(({ id }) => id);

/** A headliner alone: no seat is touched. */
function headliner(): PlannedJob {
  const job = seats({}, { seatsRemoved: false });
  return { ...job, sections: [{ ...job.sections[0], area: 'headliner', count: 1, fabric: 'headlining' }] };
}

describe('cautions', () => {
  it('about products and about estimates come always', () => {
    expect(idsFor(headliner())).toEqual(['products', 'estimate']);
  });

  it('about airbags and belts come where seats come out or are cleaned in place', () => {
    expect(idsFor(seats())).toContain('seats');
    expect(idsFor(seats({}, { seatsRemoved: false }))).toContain('seats');
    expect(idsFor({ ...headliner(), seatsRemoved: true })).toContain('seats');
  });

  it.each(stains)('about biohazards come with protein and pet stains, and with no other: %s', (stain) => {
    expect(idsFor(seats({ stains: [stain] })).includes('biohazard')).toBe(stain === 'protein' || stain === 'pet');
  });

  it.each(dryingAids)('about what runs unattended come with what has a plug: %s', (aid) => {
    const plugged = aid === 'fan' || aid === 'dehumidifier' || aid === 'warm-room';
    expect(idsFor(seats({}, { drying: { aid } })).includes('drying-aids')).toBe(plugged);
  });

  it.each([
    [{ after24h: 0.04, after48h: 0.01 }, []],
    [{ after24h: 0.05, after48h: 0.01 }, ['mould-24h']],
    [{ after24h: 0.3, after48h: 0.05 }, ['mould-48h']],
  ])('about mould come from one chance in twenty, the graver alone: %o', (wet, expected) => {
    expect(idsFor(seats(), wet).filter((id) => id.startsWith('mould'))).toEqual(expected);
  });

  it('about mould follow the forecast: a damp cold closed vehicle has one, a fan in a warm room none', () => {
    const idsOf = (aid: 'still-air' | 'fan', airC: number, rhPercent: number) =>
      estimateJob(fitOf([]), seats({}, { drying: { aid, airC, rhPercent } }), context).cautions.map(({ id }) => id);
    expect(idsOf('still-air', 8, 85)).toContain('mould-48h');
    expect(idsOf('fan', 26, 40).filter((id) => id.startsWith('mould'))).toEqual([]);
  });

  it('never put a number on the wait after the battery is off, nor anywhere but for mould', () => {
    const all = [seats({ stains: ['protein'] }), seats({}, { drying: { aid: 'fan' } }), headliner()].flatMap((job) =>
      cautionsFor(job, { after24h: 0.3, after48h: 0 }),
    );
    const seat = all.find(({ id }) => id === 'seats');
    expect(seat?.text).toContain('maker’s waiting time');
    for (const { id, text } of all)
      if (!id.startsWith('mould')) expect(text).not.toMatch(/\d|minute|second|\bhours?\b/);
  });

  it('say each thing once, and why', () => {
    const told = cautionsFor(seats({ stains: ['pet'] }, { drying: { aid: 'fan' } }), { after24h: 1, after48h: 1 });
    expect(new Set(told.map(({ id }) => id)).size).toBe(told.length);
    for (const { text, because } of told) for (const words of [text, because]) expect(words.length).toBeGreaterThan(4);
    expect(told[0].because).toBe('still wet after 48 hours in 100 of 100 such jobs');
  });
});
