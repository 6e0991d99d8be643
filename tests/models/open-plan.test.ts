import { describe, expect, it } from 'vitest';
import type { FinishedJob } from '../../src/domain/record.ts';
import { quantileOf } from '../../src/models/estimate/figure.ts';
import { optionDraws } from '../../src/models/estimate/option-draws.ts';
import { plannedWork } from '../../src/models/estimate/planned-work.ts';
import { simulateJob } from '../../src/models/estimate/simulate-job.ts';
import { context, done, fitOf, seats, technicians } from './shop-under-test.ts';

/** Ann does three jobs of four and is quick; ben does the rest, slowly, with the high-grade extractor. */
const records: FinishedJob[] = Array.from({ length: 80 }, (_, i) => {
  const byBen = i % 4 === 3;
  const minutes = (byBen ? 260 : 190) + 3 * ((i * 7) % 11);
  const extractor = byBen ? 'high-one' : 'standard-one';
  const finishedAt = `2026-${String(1 + (i % 4)).padStart(2, '0')}-1${i % 9}T12:00:00Z`;
  return done(`o${i}`, {}, { labour: [{ technician: byBen ? 'ben' : 'ann', minutes }], extractor, finishedAt });
});
const fit = fitOf(records);
const nDraws = 8000;
const hours = (job: ReturnType<typeof seats>, shop = context) =>
  simulateJob(fit, plannedWork(fit, job, shop), nDraws).labourHours;

describe('a plan that leaves open who does it', () => {
  it('hands out the draws by share of recent jobs', () => {
    const work = plannedWork(fit, seats(), context);
    expect(work.technicians).toEqual([
      { key: 'ann', share: 0.75 },
      { key: 'ben', share: 0.25 },
    ]);
    const { options, option } = optionDraws(work, nDraws);
    const byBen = option.filter((o) => options[o].technician === 'ben').length;
    expect(Math.abs(byBen / nDraws - 0.25)).toBeLessThan(0.001);
  });

  it('is the mixture of the named plans by these shares', () => {
    const [ann, ben, open] = [
      hours(seats({}, { technician: 'ann' })),
      hours(seats({}, { technician: 'ben' })),
      hours(seats()),
    ];
    for (const p of [0.1, 0.5, 0.9]) {
      const level = quantileOf(open, p);
      const below = (draws: Float64Array) => draws.filter((value) => value <= level).length / nDraws;
      // Five standard errors of 8,000 draws.
      expect(Math.abs(0.75 * below(ann) + 0.25 * below(ben) - p)).toBeLessThan(5 * Math.sqrt((p * (1 - p)) / nDraws));
    }
    expect(quantileOf(ben, 0.5)).toBeGreaterThan(1.1 * quantileOf(ann, 0.5));
  });

  it('takes nobody who has left by then', () => {
    const until = technicians.map((one) => (one.key === 'ann' ? { ...one, until: '2026-04-30' } : one));
    const work = plannedWork(fit, seats(), { ...context, technicians: until });
    expect(work.technicians).toEqual([{ key: 'ben', share: 1 }]);
  });

  it('takes who leaves for the whole of their last day by the shop’s calendar, and not after', () => {
    const until = technicians.map((one) => (one.key === 'ann' ? { ...one, until: '2026-05-04' } : one));
    const keysAt = (startAt: string, timeZone: string) =>
      plannedWork(fit, seats({}, { startAt }), { ...context, technicians: until, timeZone }).technicians.map(
        ({ key }) => key,
      );
    expect(keysAt('2026-05-05T02:00:00Z', 'America/Denver')).toEqual(['ann', 'ben']); // 20:00 of her last day
    expect(keysAt('2026-05-04T22:00:00Z', 'Pacific/Auckland')).toEqual(['ben']); // 10:00 of the day after
  });

  it('asks where no start is said who is there on the shop’s own day', () => {
    const until = technicians.map((one) => (one.key === 'ann' ? { ...one, until: '2026-05-04' } : one));
    const keysAt = (now: string, timeZone: string) =>
      plannedWork(fit, seats(), { ...context, now: new Date(now), technicians: until, timeZone }).technicians.map(
        ({ key }) => key,
      );
    expect(keysAt('2026-05-05T02:00:00Z', 'America/Denver')).toEqual(['ann', 'ben']); // 20:00 of her last day
    expect(keysAt('2026-05-04T02:00:00Z', 'Pacific/Kiritimati')).toEqual(['ann', 'ben']); // 16:00 of it
    expect(keysAt('2026-05-04T10:30:00Z', 'Pacific/Kiritimati')).toEqual(['ben']); // 0:30 of the day after
  });

  it('leaves the extractor open in the same way, and takes no dependence from the order of the two', () => {
    const work = plannedWork(fit, seats({}, { extractor: null }), context);
    expect(work.machines.map(({ key, share, grade }) => [key, share, grade])).toEqual([
      ['standard-one', 0.75, 'standard'],
      ['high-one', 0.25, 'high'],
    ]);
    const { options, option } = optionDraws(work, nDraws);
    const both = option.filter((o) => options[o].technician === 'ben' && options[o].machine.key === 'high-one').length;
    expect(Math.abs(both / nDraws - 1 / 16)).toBeLessThan(0.005);
  });

  it('is someone new where nobody has worked lately', () => {
    const nobody = { ...context, technicians: [] };
    expect(plannedWork(fit, seats(), nobody).technicians).toEqual([{ key: undefined, share: 1 }]);
  });

  it('takes a section’s own technician for that section alone', () => {
    const [first, second] = seats().sections;
    const split = { ...seats({}, { technician: 'ann' }), sections: [first, { ...second, technician: 'ben' }] };
    const median = quantileOf(hours(split), 0.5);
    expect(median).toBeGreaterThan(quantileOf(hours(seats({}, { technician: 'ann' })), 0.5));
    expect(median).toBeLessThan(quantileOf(hours(seats({}, { technician: 'ben' })), 0.5));
  });
});
