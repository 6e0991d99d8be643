import { describe, expect, it } from 'vitest';
import { demoShop } from '../../seed/shop.ts';
import { machine, technician } from '../../src/domain/lists.ts';
import { type FinishedJob, finishedJob } from '../../src/domain/record.ts';

const demo = demoShop(7, '2026-03-14');
const jobs = demo.records.map((record) => finishedJob.parse(record));
const sections = jobs.flatMap((job) => job.sections);

describe('the invented shop', () => {
  it('says of itself that it is invented, wherever a name is shown', () => {
    for (const { name } of [demo.shop, ...demo.technicians, ...demo.machines]) expect(name).toContain('(invented)');
  });

  it('keeps lists that the contract takes, and names nobody else in a record', () => {
    for (const person of demo.technicians) technician.parse(person);
    for (const extractor of demo.machines) machine.parse(extractor);
    expect(demo.technicians.length).toBeGreaterThanOrEqual(5);
    expect(demo.machines.map(({ grade }) => grade).sort()).toEqual(['entry', 'high', 'standard']);
    for (const job of jobs) {
      const date = job.finishedAt.slice(0, 10);
      for (const { technician: key } of job.labour) expect(startOf(demo.technicians, key) <= date).toBe(true);
      if (job.extractor) expect(startOf(demo.machines, job.extractor) <= date).toBe(true);
    }
  });

  it('is the same for the same seed and day, and another for another seed', () => {
    expect(demoShop(7, '2026-03-14')).toEqual(demo);
    expect(demoShop(8, '2026-03-14').records).not.toEqual(demo.records);
  });

  it('holds eighteen months up to the day before, with references used once', () => {
    expect(jobs.length).toBeGreaterThan(600);
    expect(jobs.length).toBeLessThan(900);
    expect(new Set(jobs.map(({ ref }) => ref)).size).toBe(jobs.length);
    const finished = jobs.map(({ finishedAt }) => finishedAt).sort();
    expect(finished.at(0)?.slice(0, 7)).toBe('2024-09');
    expect(finished.at(-1)?.slice(0, 7)).toBe('2026-03');
    expect(Date.parse(finished.at(-1) ?? '')).toBeLessThan(Date.parse('2026-03-14T00:00:00Z'));
  });

  it('never checks the drying in the future, and checks never contradict each other', () => {
    for (const job of jobs) {
      const checks = job.drying?.checks ?? [];
      for (const { hours } of checks) {
        expect(Date.parse(job.finishedAt) + hours * 3_600_000).toBeLessThanOrEqual(Date.parse('2026-03-14T00:15:00Z'));
      }
      const wet = Math.max(0, ...checks.filter(({ dry }) => !dry).map(({ hours }) => hours));
      for (const { hours, dry } of checks) if (dry) expect(hours).toBeGreaterThan(wet);
    }
  });

  it.each([1, 2, 3, 4, 5, 6])('can be made from seed %i', (seed) => {
    for (const record of demoShop(seed, '2026-08-31').records) finishedJob.parse(record);
  });
});

describe('its work, against the common practice of the trade (no published source)', () => {
  it('takes about two passes on seats of typical soil, with a few never coming clean', () => {
    const typical = sections.filter(({ soil, method }) => soil === 'moderate' && method === 'extraction');
    expect(mean(typical.map(({ wetPasses }) => wetPasses))).toBeGreaterThan(1.8);
    expect(mean(typical.map(({ wetPasses }) => wetPasses))).toBeLessThan(2.4);
    const failed = sections.filter(({ result }) => result !== 'clean').length / sections.length;
    expect(failed).toBeGreaterThan(0.005);
    expect(failed).toBeLessThan(0.06);
  });

  it('takes three to four hours over a sedan with its cloth seats out', () => {
    const sedans = jobs.filter(
      ({ bodyStyle, seatsRemoved, sections }) => bodyStyle === 'sedan' && seatsRemoved && sections.length === 2,
    );
    expect(sedans.length).toBeGreaterThan(15);
    expect(median(sedans.map(hours))).toBeGreaterThan(3);
    expect(median(sedans.map(hours))).toBeLessThan(4);
  });

  it('needs fewer passes with the better machine on the same soil', () => {
    const byMachine = ['old-tub', 'grey-barrel', 'tall-boiler'].map((key) =>
      mean(
        jobs
          .filter(({ extractor }) => extractor === key)
          .flatMap((job) => job.sections.filter(({ soil, method }) => soil === 'moderate' && method === 'extraction'))
          .map(({ wetPasses }) => wetPasses),
      ),
    );
    expect(byMachine).toEqual([...byMachine].sort((a, b) => b - a));
  });

  it('has the drying found done between a few hours and the second morning', () => {
    const found = jobs.flatMap(({ drying }) => drying?.checks.filter(({ dry }) => dry).map(({ hours }) => hours) ?? []);
    expect(found.filter((hour) => hour < 8).length / found.length).toBeGreaterThan(0.1);
    expect(found.filter((hour) => hour <= 48).length / found.length).toBeGreaterThan(0.9);
    expect(Math.min(...found)).toBeGreaterThan(0.4);
  });
});

describe('its papers, incomplete as in life', () => {
  const measured = jobs.filter(({ sprayedLitres }) => sprayedLitres !== undefined);

  it('has the tanks read in about half of the extraction jobs, to the whole litre', () => {
    const extracted = jobs.filter(({ extractor }) => extractor !== null);
    expect(measured.length / extracted.length).toBeGreaterThan(0.4);
    expect(measured.length / extracted.length).toBeLessThan(0.7);
    for (const { sprayedLitres } of measured) expect(Number.isInteger(sprayedLitres)).toBe(true);
    for (const { recoveredLitres } of measured) expect(Number.isInteger(recoveredLitres)).toBe(true);
  });

  it('has three readings written in the wrong boxes', () => {
    expect(measured.filter((job) => left(job) < 0)).toHaveLength(3);
  });

  it('shows one technician whose jobs keep clearly more water', () => {
    const perM2 = (key: string) => {
      const own = measured.filter((job) => job.labour[0]?.technician === key && left(job) >= 0);
      return mean(own.map(left)) / mean(own.map(({ sprayedLitres = 0 }) => sprayedLitres));
    };
    const others = ['ada', 'bram', 'cleo', 'esme'].map(perM2);
    expect(measured.filter(({ labour }) => labour[0]?.technician === 'dov').length).toBeGreaterThan(25);
    expect(perM2('dov')).toBeGreaterThan(1.15 * Math.max(...others));
  });

  it('quotes by body style and package alone, so that dirty vehicles run over more often', () => {
    const over = (dirty: boolean) => {
      const quoted = jobs.filter((job) => job.quoted && job.sections.some(isDirty) === dirty);
      return (
        quoted.filter((job) => hours(job) > (job.quoted?.hours ?? Number.POSITIVE_INFINITY)).length / quoted.length
      );
    };
    expect(over(true)).toBeGreaterThan(over(false) + 0.15);
  });

  it('sees some comebacks, but none of the last fortnight yet', () => {
    const back = jobs.filter(({ outcome }) => outcome?.comeback && outcome.comeback !== 'none');
    expect(back.length / jobs.length).toBeGreaterThan(0.01);
    expect(back.length / jobs.length).toBeLessThan(0.1);
    for (const job of jobs) if (job.finishedAt > '2026-03-01') expect(job.outcome?.comeback).toBeUndefined();
  });
});

function isDirty({ soil }: FinishedJob['sections'][number]): boolean {
  return soil === 'heavy' || soil === 'severe';
}

function hours(job: FinishedJob): number {
  return job.labour.reduce((sum, { minutes }) => sum + minutes, 0) / 60;
}

function left({ sprayedLitres = 0, recoveredLitres = 0 }: FinishedJob): number {
  return sprayedLitres - recoveredLitres;
}

function startOf(list: readonly { key: string; from?: string | undefined }[], key: string): string {
  const entry = list.find((listed) => listed.key === key);
  if (!entry?.from) throw new Error(`${key} is not on the list`);
  return entry.from;
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.floor(sorted.length / 2)] ?? Number.NaN;
}
