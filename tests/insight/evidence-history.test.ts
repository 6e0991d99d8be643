import { describe, expect, it } from 'vitest';
import { evidenceHistory, evidenceSentence, halfOwnSince } from '../../src/insight/evidence-history.ts';
import { typicalEvidence } from '../../src/models/estimate/typical-evidence.ts';
import { fitShop } from '../../src/models/fit.ts';
import { simulateShop } from '../support/simulate/shop.ts';

const all = (share: number) => ({ passes: share, labourHours: share, water: share, dryHours: share });
const months = [
  { month: '2025-01', jobsKnown: 10, evidence: all(0.3) },
  { month: '2025-02', jobsKnown: 30, evidence: all(0.55) },
  { month: '2025-03', jobsKnown: 50 },
  { month: '2025-05', jobsKnown: 90, evidence: all(0.9) },
];
const night = (day: string, nJobs: number, evidence: unknown) => ({
  finishedAt: new Date(`${day}T02:30:00Z`),
  nJobs,
  evidence,
});
const first = new Date('2024-12-10T12:00:00Z');

describe('contract: the evidence in time', () => {
  it('begins with none at the first job, takes months up to the first night that kept its own, and then the nights', () => {
    const nights = [
      night('2025-03-10', 55, null),
      night('2025-04-01', 70, all(0.6)),
      night('2025-04-02', 71, all(0.7)),
    ];
    const points = evidenceHistory(first, months, nights);
    expect(points.map(({ jobs, shares }) => [jobs, shares.labour])).toEqual([
      [0, 0],
      [10, 0.3],
      [30, 0.55],
      [70, 0.6],
      [71, 0.7],
    ]);
    expect(halfOwnSince(points, 'water')?.jobs).toBe(30);
    expect(evidenceSentence(points)).toContain('the passes are 70 % the shop’s own after 71 finished jobs');
  });

  it('is not stretched by a job whose year was mistyped, nor by the month of it', () => {
    const mistyped = { month: '2006-03', jobsKnown: 0, evidence: all(0) };
    const points = evidenceHistory(new Date('2006-03-04T12:00:00Z'), [mistyped, ...months], []);
    expect(points.map(({ at, jobs }) => [at.toISOString().slice(0, 7), jobs])).toEqual([
      ['2025-01', 10],
      ['2025-02', 30],
      ['2025-05', 90],
    ]);
    expect(evidenceHistory(new Date('2022-03-04T12:00:00Z'), months, [])).toHaveLength(4); // a shop of some years
  });

  it('counts the half from where it stays above', () => {
    const nights = [0.6, 0.4, 0.8].map((share, i) => night(`2025-04-0${i + 1}`, i + 1, all(share)));
    expect(halfOwnSince(evidenceHistory(undefined, [], nights), 'drying')?.jobs).toBe(3);
    expect(halfOwnSince(evidenceHistory(undefined, [], nights.slice(0, 2)), 'drying')).toBeUndefined();
  });

  it('keeps the latest of many nights, and no more than a picture can show', () => {
    const nights = Array.from({ length: 1000 }, (_, i) => ({
      ...night('2025-01-01', i, all(0.5)),
      finishedAt: new Date(first.getTime() + i * 86_400_000),
    }));
    const points = evidenceHistory(first, [], nights);
    expect(points.at(-1)?.jobs).toBe(999);
    expect(points.length).toBeLessThanOrEqual(80);
  });

  it('says so where nothing was kept yet', () => {
    expect(evidenceHistory(first, [{ month: '2025-03', jobsKnown: 50 }], [night('2025-03-10', 55, null)])).toEqual([]);
    expect(evidenceSentence([])).toContain('after the next night');
  });
});

describe('identity: the evidence of a usual job', () => {
  it('is none without records, and grows with them', () => {
    const { technicians, machines, records } = simulateShop('lumps', 61, 200);
    const now = new Date('2026-01-05');
    const shareAfter = (jobs: number) => {
      const result = fitShop({ technicians, machines, records: records.slice(0, jobs), now });
      if (result.status === 'failed') throw new Error(result.failures[0]?.message);
      return typicalEvidence(result.fit, { now, technicians, machines });
    };
    expect(shareAfter(0)).toEqual(all(0));
    const [few, many] = [shareAfter(20), shareAfter(200)];
    for (const figure of ['passes', 'labourHours', 'water', 'dryHours'] as const) {
      expect(few[figure], figure).toBeGreaterThan(0.1);
      expect(many[figure], figure).toBeGreaterThan(few[figure]);
      expect(many[figure], figure).toBeLessThan(1);
    }
  });
});
