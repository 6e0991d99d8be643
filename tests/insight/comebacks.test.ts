import { describe, expect, it } from 'vitest';
import { type FinishedJob, finishedJob } from '../../src/domain/record.ts';
import { comebackReport } from '../../src/insight/comebacks.ts';
import { plannedFromRecord } from '../../src/insight/planned-from-record.ts';
import { comebackCounts, comebackRisk } from '../../src/models/comebacks.ts';
import { fitShop } from '../../src/models/fit.ts';

const now = new Date('2025-06-01');
const result = fitShop({ records: [], technicians: [], machines: [], now });
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

/** Where the shop began to note outcomes, and where it last did. */
const first: FinishedJob = { ...job(0.1, 'none'), finishedAt: '2025-01-02T15:20:00Z' };
const last: FinishedJob = { ...first, finishedAt: '2025-05-28T15:20:00Z' };

describe('contract: comebacks', () => {
  const records = [
    first,
    last,
    ...many(200, 0.1, 'none'),
    ...many(100, 0.8, 'none'),
    ...many(40, 0.8, 'wick-back'),
    ...many(30, 0.1, undefined),
  ];

  it('are told by water left in, and the difference where it is plain', () => {
    const { jobs, cases, silent, byWaterLeftIn, answer } = comebackReport(fit, records, now);
    expect([jobs, cases, silent]).toEqual([370, 40, 30]);
    expect(byWaterLeftIn.map((kind) => [kind.jobs, kind.cases])).toEqual([
      [230, 0],
      [0, 0],
      [140, 40],
    ]);
    expect(byWaterLeftIn[2].share.p05).toBeGreaterThan(byWaterLeftIn[0].share.p95);
    expect(answer).toContain('Those left wettest came back more often than those left driest. Of the wettest');
  });

  it('hold a kind with one unlucky job to the shop’s rate', () => {
    const { byMethod } = comebackReport(fit, [...records, job(0, 'odour', 'spot')], now);
    const spot = byMethod.find(({ kind }) => kind === 'spot');
    expect(spot?.cases).toBe(1);
    expect(spot?.share.p50).toBeLessThan(0.2);
  });

  it('count what was not noted as not come back, and say of how many jobs', () => {
    const only = [
      ...many(13, 0.8, 'odour'),
      ...many(200, 0.1, undefined),
      { ...job(0.8, 'ring'), finishedAt: first.finishedAt },
      { ...job(0.8, 'ring'), finishedAt: last.finishedAt },
    ];
    const { answer, share } = comebackReport(fit, only, now);
    expect(answer).toMatch(
      /^13 of 213 jobs came back \(90 % range 3\.\d % to \d\.\d %\); 200 of the 213 count as not come back because nothing was noted within four weeks\. /,
    );
    expect(share.p50).toBeCloseTo(0.058, 2);
    const shown = comebackRisk(comebackCounts(only, now), plannedFromRecord(only[0]));
    expect(shown.chance).toBeCloseTo(0.06, 2);
    const withOneNone = comebackCounts([...only, job(0.1, 'none')], now);
    expect(comebackRisk(withOneNone, plannedFromRecord(only[0])).chance).toBeCloseTo(shown.chance, 3);
  });

  it('say what is missing where nobody wrote an outcome down', () => {
    expect(comebackReport(fit, many(5, 0.1, undefined), now).answer).toContain(
      'No share can be told yet: note what comes back',
    );
  });

  it('are a risk on an estimate, mostly rule of thumb at first and the shop’s own later', () => {
    const plan = plannedFromRecord(records[0]);
    const [none, own] = [comebackRisk(comebackCounts([], now), plan), comebackRisk(comebackCounts(records, now), plan)];
    expect(none.chance).toBeCloseTo(0.03, 6);
    expect(none.source).toContain('rule of thumb');
    expect(own.chance).toBeGreaterThan(0.08);
    expect(own.p95 - own.p05).toBeLessThan(none.p95 - none.p05 + 0.1);
    expect(own.source).toMatch(/^40 of 370 finished jobs by this method came back; 30 of the 370 count as not/);
  });
});
