import { describe, expect, it } from 'vitest';
import type { MachineDifference, MachineStanding } from '../../src/insight/machines/report.ts';
import type { Range } from '../../src/insight/range.ts';
import type { MonthRecord, ScoreLine } from '../../src/insight/track-record.ts';
import { MachinesPage } from '../../src/pages/findings-machines.tsx';
import { formatsFor } from '../../src/pages/format.ts';
import { TrackFigure } from '../../src/pages/trust-track-figure.tsx';

const formats = formatsFor({ timeZone: 'UTC', settings: { units: 'si', currency: 'EUR' } });

describe('contract: the track record’s picture', () => {
  const line = {
    model: 'labour',
    outcomes: 10,
    ruleOfThumb: 1,
    gainPercent: null,
    inside80: null,
    bias: null,
  } as const;
  const month = (name: string, meanScore: number, gain: number): MonthRecord => {
    const gains = { soilMeans: 1, leastSquares: 1, gainOverSoilMeans: gain, gainOverLeastSquares: gain };
    const score = { ...line, ...gains, meanScore } as ScoreLine; // what the picture reads of it
    return { month: name, jobsKnown: 1, jobs: 10, failed: null, models: [score] };
  };

  it('draws the other ways where they were, also where our own miss lies beyond the edge', async () => {
    // In both months they were as far off as the rule of thumb; ours was so too, and then four times as far.
    const months = [month('2025-01', 1, 0), month('2025-02', 4, -300)];
    const html = String(await (<TrackFigure months={months} formats={formats} />));
    const bars = /class="mark-2">(<line.*?)<\/g>/.exec(html)?.[1] ?? '';
    const [first, second] = [...bars.matchAll(/ y1="([\d.]+)"/g)].map(([, y]) => y);
    expect(first).toBeDefined();
    expect(second).toBe(first);
  });
});

describe('contract: the picture of extractors', () => {
  const about = (p50: number, by: number): Range => ({ p05: p50 - by, p50, p95: p50 + by });
  const page = async (hours: Range) => {
    const of = { grade: 'standard', jobs: 200, passes: about(2, 0.1), hours: about(3, 0.2), says: '' } as const;
    const one = { ...of, waterLPerM2: about(0.4, 0.1), dryHours: about(9, 1) };
    const chances = { chanceFewerHours: 0.5, chanceDrier: 0.5, overlap: 1, warning: null };
    const figures = { passes: about(0, 0.1), hours, waterPercent: about(0, 5), dryHours: about(0, 1) };
    const against: MachineDifference = { ...figures, ...chances };
    const machines: MachineStanding[] = [
      { ...one, machine: 'a', name: 'Barrel', againstBaseline: null },
      { ...one, machine: 'b', name: 'Drum', againstBaseline: against },
    ];
    const report = { answer: '', baseline: 'a', jobsInMix: 100, machines, caution: '' };
    return String(await (<MachinesPage report={report} formats={formats} />));
  };
  const ticks = (html: string) => [...html.matchAll(/<text [^>]*>([+−]?[\d.]+ h)<\/text>/g)].map(([, says]) => says);

  it.each([0.04, 0.09, 0.4, 2])('has a scale of which every step says another figure, ± %d h', async (by) => {
    const seen = ticks(await page(about(0, by)));
    expect(seen.length).toBeGreaterThan(2);
    expect(new Set(seen).size).toBe(seen.length);
  });
});
