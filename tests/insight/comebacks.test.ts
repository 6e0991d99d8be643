import { describe, expect, it } from 'vitest';
import { type FinishedJob, finishedJob } from '../../src/domain/record.ts';
import { comebackReport } from '../../src/insight/comebacks.ts';
import { plannedFromRecord } from '../../src/insight/planned-from-record.ts';
import { comebackCounts, comebackRisk } from '../../src/models/comebacks.ts';
import { fitShop } from '../../src/models/fit.ts';

const result = fitShop({ records: [], technicians: [], machines: [], now: new Date('2025-06-01') });
if (result.status !== 'fitted') throw new Error('the rules of thumb could not be used');
const { fit } = result;

/** An invented job of one square metre that left so many litres in. */
function job(litres: number, comeback: string | undefined, method = 'extraction'): FinishedJob {
  return finishedJob.parse({
    ref: 'a',
    finishedAt: '2025-03-04T15:20:00Z',
    bodyStyle: 'sedan',
    labour: [{ technician: 'odo', minutes: 90 }],
    extractor: 'drum-a',
    ...(method === 'spot' ? {} : { sprayedLitres: 4, recoveredLitres: 4 - litres }),
    sections: [{ area: 'cargo', surfaceM2: 1, fabric: 'knit', soil: 'light', stains: ['pet'], method, wetPasses: 1 }],
    ...(comeback === undefined ? {} : { outcome: { comeback } }),
  });
}

const many = (n: number, litres: number, comeback: string | undefined, method?: string) =>
  Array.from({ length: n }, () => job(litres, comeback, method));

describe('contract: comebacks', () => {
  const records = [
    ...many(200, 0.1, 'none'),
    ...many(100, 0.8, 'none'),
    ...many(40, 0.8, 'wick-back'),
    ...many(30, 0.1, undefined),
  ];

  it('are told by water left in, and the difference where it is plain', () => {
    const { jobs, cases, byWaterLeftIn, answer } = comebackReport(fit, records);
    expect([jobs, cases]).toEqual([340, 40]);
    expect(byWaterLeftIn.map((kind) => [kind.jobs, kind.cases])).toEqual([
      [200, 0],
      [0, 0],
      [140, 40],
    ]);
    expect(byWaterLeftIn[2].share.p05).toBeGreaterThan(byWaterLeftIn[0].share.p95);
    expect(answer).toContain('those left wettest more often than those left driest');
  });

  it('hold a kind with one unlucky job to the shop’s rate', () => {
    const { byMethod } = comebackReport(fit, [...records, job(0, 'odour', 'spot')]);
    const spot = byMethod.find(({ kind }) => kind === 'spot');
    expect(spot?.cases).toBe(1);
    expect(spot?.share.p50).toBeLessThan(0.2);
  });

  it('take no share from jobs of which only comebacks were noted', () => {
    const only = [...many(13, 0.8, 'odour'), ...many(700, 0.1, undefined)];
    const { answer, share, byMethod } = comebackReport(fit, only);
    expect(answer).toMatch(/^13 jobs came back, and of none .* how often cannot be told/);
    expect(Math.max(share.p95, ...byMethod.map((kind) => kind.share.p95))).toBeLessThan(0.2);
    const { chance, cases, source } = comebackRisk(comebackCounts(only), plannedFromRecord(only[0]));
    expect([chance, cases]).toEqual([0.03, 13]);
    expect(source).toMatch(/^mostly rule of thumb/);
    expect(
      comebackRisk(comebackCounts([...only, job(0.1, 'none')]), plannedFromRecord(only[0])).chance,
    ).toBeGreaterThan(0.1);
  });

  it('say what is missing where nobody wrote an outcome down', () => {
    expect(comebackReport(fit, many(5, 0.1, undefined)).answer).toContain(
      'No finished job says yet whether it came back',
    );
  });

  it('are a risk on an estimate, mostly rule of thumb at first and the shop’s own later', () => {
    const plan = plannedFromRecord(records[0]);
    const [none, own] = [comebackRisk(comebackCounts([]), plan), comebackRisk(comebackCounts(records), plan)];
    expect(none.chance).toBeCloseTo(0.03, 6);
    expect(none.source).toContain('rule of thumb');
    expect(own.chance).toBeGreaterThan(0.08);
    expect(own.p95 - own.p05).toBeLessThan(none.p95 - none.p05 + 0.1);
    expect(own.source).toBe('40 of 340 finished jobs by this method came back');
  });
});
