import { describe, expect, it } from 'vitest';
import { finishedJob } from '../../src/domain/record.ts';
import { randomGenerator } from '../../src/inference/random.ts';
import { centreAndSpread, wetnessChange } from '../../src/insight/wetness/change.ts';
import { wetnessReport } from '../../src/insight/wetness/report.ts';
import type { WaterResidual } from '../../src/insight/wetness/residuals.ts';
import { fitShop } from '../../src/models/fit.ts';
import { simulateShop } from '../support/simulate/shop.ts';

function reportOf(
  kind: 'lumps' | 'strips',
  seed: number,
  overWet?: { technician: number; factor: number },
  nJobs = 220,
  until?: string,
  timeZone?: string,
) {
  const options = { wetSpread: 0, measuredShare: 0.75, readingStep: 0.1, ...(overWet && { overWet }) } as const;
  const { technicians, machines, records: sent } = simulateShop(kind, seed, nJobs, options);
  const records = sent.map((record) => finishedJob.parse(record));
  const people = technicians.map((one) => (one.key === 'tech-2' && until ? { ...one, until } : one));
  const result = fitShop({ records, technicians, machines, now: new Date('2026-01-05') });
  if (result.status !== 'fitted') throw new Error(result.failures.map(({ message }) => message).join());
  return wetnessReport(result.fit, { records, technicians: people, machines, timeZone }, new Date('2026-01-05'));
}

const residual = (log: number, i: number): WaterResidual => ({
  ref: `r${i}`,
  finishedAt: new Date(Date.UTC(2025, 0, 1 + i)).toISOString(),
  technician: 'odo',
  extractor: 'drum-a',
  log,
});

describe('contract: wetness where no fit is in use', () => {
  it('says that nobody can be compared, not that nobody stands out', () => {
    const shop = simulateShop('lumps', 5, 60, { overWet: { technician: 1, factor: 1.35 }, measuredShare: 0.75 });
    const result = fitShop({ ...shop, records: [], now: new Date('2026-01-05') });
    if (result.status !== 'fitted') throw new Error('no fit');
    const { answer, measuredJobs } = wetnessReport(result.fit, shop, new Date('2026-01-05'));
    expect(measuredJobs).toBeGreaterThan(20);
    expect(answer).toContain('nobody can be compared: a night that finds a new job makes one');
  });
});

describe('recovery: wetness on invented shops whose mechanism is not the model', () => {
  it('names nobody who has left, and says that there was somebody', () => {
    const { technicians, answer } = reportOf('lumps', 5, { technician: 1, factor: 1.35 }, 220, '2026-01-04');
    expect(technicians.find(({ overWet }) => overWet)?.technician).toBe('tech-2');
    expect(answer).toMatch(/^Nobody who is still here stands out .*; somebody who has left did\.$/);
    expect(reportOf('lumps', 5, { technician: 1, factor: 1.35 }, 220, '2026-01-05').answer).toContain('tech-2');
    const byEvening = reportOf('lumps', 5, { technician: 1, factor: 1.35 }, 220, '2026-01-04', 'America/Denver');
    expect(byEvening.answer).toContain('tech-2'); // 17:00 of the last day
  });

  it.each(['lumps', 'strips'] as const)(
    'names the one who leaves 1.35 times the water, and nobody else (%s)',
    (kind) => {
      const { technicians, answer } = reportOf(kind, 5, { technician: 1, factor: 1.35 });
      expect(technicians.filter(({ overWet }) => overWet).map(({ technician }) => technician)).toEqual(['tech-2']);
      expect(answer).toContain('tech-2');
      const { p05, p50, p95 } = technicians[1].waterAtEqualDryPasses;
      // The level in time is one at equal dry passes too; an EWMA of λ 0.2 scatters by a third of a job's 0.2.
      expect(Math.abs(Math.log((technicians[1].change?.levelNow ?? Number.NaN) / p50))).toBeLessThan(3 * 0.2 * (1 / 3));
      expect(p05).toBeLessThan(1.35);
      expect(p95).toBeGreaterThan(1.35);
      expect(answer).toContain('times what the others leave at the same work, dry passes as each makes them (90 %');
      expect(answer).toMatch(
        / times is [^.]*%\. It was so from the first measured job on: nothing has changed in time\.$/,
      );
    },
  );

  it.each([3, 4])('names nobody where all do alike (shop %i)', (seed) => {
    const { technicians, answer } = reportOf('lumps', seed);
    expect(technicians.filter(({ overWet, change }) => overWet || change !== null)).toEqual([]);
    expect(answer).toContain('Nobody stands out');
  });

  it('names nobody on fewer than eight measured jobs, and says how many more it would take or that there are none', () => {
    const { technicians } = reportOf('lumps', 5, { technician: 1, factor: 1.35 }, 30);
    expect(technicians.every(({ measuredJobs, overWet }) => measuredJobs >= 8 || !overWet)).toBe(true);
  });
});

describe('contract: wetness where each section was read for itself', () => {
  it('counts the jobs that were measured, not the readings', () => {
    const {
      technicians,
      machines,
      records: sent,
    } = simulateShop('lumps', 5, 60, { measuredShare: 1, readingStep: 0.1 });
    const records = sent.map((record) => {
      const { sprayedLitres, recoveredLitres, ...job } = finishedJob.parse(record);
      if (sprayedLitres === undefined || recoveredLitres === undefined) return job;
      const each = { sprayedLitres, recoveredLitres };
      return { ...job, sections: job.sections.map((one) => (one.method === 'spot' ? one : { ...one, ...each })) };
    });
    const extracted = records.map(({ sections }) => sections.filter((one) => one.sprayedLitres !== undefined).length);
    expect(extracted.filter((n) => n > 1).length).toBeGreaterThan(10);
    const result = fitShop({ records, technicians, machines, now: new Date('2026-01-05') });
    if (result.status !== 'fitted') throw new Error('no fit');
    const report = wetnessReport(result.fit, { records, technicians, machines }, new Date('2026-01-05'));
    for (const { jobs, measuredJobs } of report.technicians) expect(measuredJobs).toBeLessThanOrEqual(jobs);
    expect(report.measuredJobs).toBeLessThanOrEqual(extracted.filter((n) => n > 0).length);
  });
});

describe('contract: wetness where little was measured', () => {
  it('says that nothing can be told yet, not that there is no sign', () => {
    const { technicians, answer } = reportOf('lumps', 5, { technician: 1, factor: 1.35 }, 12);
    expect(technicians.some(({ measuredJobs }) => measuredJobs > 0)).toBe(true);
    expect(answer).toBe(
      'Nothing can be told yet: it takes 8 measured jobs for somebody to stand out, and nobody has so many.',
    );
  });
});

describe('contract: a change in time', () => {
  // A steady pattern with spread 0.2, then a third more water.
  const steady = Array.from({ length: 30 }, (_, i) => 0.2 * Math.sin(2.4 * i));
  const { centre, spread } = centreAndSpread(steady);

  it('is found, and dated to about where it began', () => {
    const rising = steady.map((log, i) => residual(log + (i >= 20 ? 0.35 : 0), i));
    const change = wetnessChange(rising, centre, spread);
    expect(change).toBeDefined();
    const began = Number(change?.firstRef.slice(1));
    expect(began).toBeGreaterThanOrEqual(17);
    expect(began).toBeLessThanOrEqual(23);
    const { fromTheFirst, levelNow, levelRange } = change ?? expect.fail('no change');
    expect(fromTheFirst).toBe(false);
    expect(levelRange.p05).toBeLessThan(levelNow);
    // A settled EWMA of λ 0.2 scatters by a third of a single job.
    expect(Math.log(levelRange.p95 / levelNow)).toBeCloseTo((1.645 * spread) / 3, 9);
    expect(levelRange.p05 < Math.exp(0.35) && Math.exp(0.35) < levelRange.p95).toBe(true);
  });

  it('is not found where nothing changed, nor where it has gone again', () => {
    expect(wetnessChange(steady.map(residual), centre, spread)).toBeUndefined();
    const passing = steady.map((log, i) => residual(log + (i >= 8 && i < 14 ? 0.35 : 0), i));
    expect(wetnessChange(passing, centre, spread)).toBeUndefined();
  });

  it('is dated where there was one, and not where the level was the same from the first', () => {
    const random = randomGenerator(11);
    // A third more water, where jobs scatter by 0.22.
    const jobs = (before: number, since: number) =>
      Array.from({ length: before + since }, (_, i) => residual(random.normal() * 0.22 + (i < before ? 0 : 0.3), i));
    const dated = (before: number, since: number) => {
      const found = Array.from({ length: 600 }, () => wetnessChange(jobs(before, since), 0, 0.22)).filter((one) => one);
      return found.filter((one) => one?.fromTheFirst === false).length / found.length;
    };
    expect(dated(0, 25)).toBeLessThan(0.1); // by the likeliest split alone 0.33
    expect(dated(20, 10)).toBeGreaterThan(0.9);
  });

  it('is over once it has gone: a wet job long after it is no more than anybody’s, and a new one is dated to itself', () => {
    const long = Array.from({ length: 70 }, (_, i) => 0.2 * Math.sin(2.4 * i));
    const mended = (i: number) => (i >= 20 && i < 35 ? 0.45 : 0);
    const twoWetJobs = long.map((log, i) => residual(i >= 68 ? 0.5 : log + mended(i), i));
    expect(wetnessChange(twoWetJobs.slice(0, 35), centre, spread)).toBeDefined();
    expect(wetnessChange(twoWetJobs.slice(0, 60), centre, spread)).toBeUndefined();
    expect(wetnessChange(twoWetJobs, centre, spread)).toBeUndefined();
    const again = long.map((log, i) => residual(log + mended(i) + (i >= 58 ? 0.45 : 0), i));
    const change = wetnessChange(again, centre, spread) ?? expect.fail('no change');
    expect(Number(change.firstRef.slice(1))).toBeGreaterThanOrEqual(55);
    expect(change.fromTheFirst).toBe(false);
  });

  it('is not made by one absurd reading', () => {
    expect(
      wetnessChange(
        steady.map((log, i) => residual(i === 29 ? 2.3 : log, i)),
        centre,
        spread,
      ),
    ).toBeUndefined();
  });
});

describe('contract: comebacks by technician', () => {
  const job = (comeback?: 'none' | 'wick-back', technician = 'odo', finishedAt = '2025-03-04T15:20:00Z') =>
    finishedJob.parse({
      ref: 'a',
      finishedAt,
      bodyStyle: 'sedan',
      labour: [{ technician, minutes: 90 }],
      sections: [{ area: 'cargo', fabric: 'knit', soil: 'light', method: 'spot', wetPasses: 1 }],
      ...(comeback && { outcome: { comeback } }),
    });

  it('compare technicians over the jobs that tell, with silence as not come back, and say how many are silence', () => {
    const records = [
      job('none', 'ada', '2025-01-01T15:20:00Z'),
      ...Array(30).fill(job(undefined, 'odo', '2024-12-01T15:20:00Z')),
      ...Array(20).fill(job(undefined)),
      ...Array(19).fill(job(undefined, 'ada')),
      job('wick-back', 'ada'),
      ...Array(4).fill(job('wick-back', 'ada', '2025-05-20T15:20:00Z')),
    ];
    const result = fitShop({ records: [], technicians: [], machines: [], now: new Date('2025-06-01') });
    if (result.status !== 'fitted') throw new Error('no fit');
    const shop = { records, technicians: [], machines: [] };
    const silent = { ...shop, records: records.filter(({ outcome }) => outcome === undefined) };
    expect(wetnessReport(result.fit, silent, new Date('2025-06-01')).comebackBasis).toMatch(
      /^Of no job finished .* is it known whether it came back\.$/,
    );
    const { technicians, comebackBasis } = wetnessReport(result.fit, shop, new Date('2025-06-01'));
    const read = technicians.map((one) => [one.technician, one.jobs, one.comebacks.jobs, one.comebacks.cases]);
    expect(read.sort()).toEqual([
      ['ada', 25, 20, 1],
      ['odo', 50, 20, 0],
    ]);
    expect(comebackBasis).toBe(
      '1 of 40 jobs finished at least four weeks ago came back; 39 of the 40 count as not come back because nothing was noted within four weeks.',
    );
  });
});
