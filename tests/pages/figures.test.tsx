import { describe, expect, it } from 'vitest';
import type { MonthRecord, ScoreLine } from '../../src/insight/track-record.ts';
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
