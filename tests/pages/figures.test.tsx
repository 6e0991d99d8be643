import { describe, expect, it } from 'vitest';
import type { MachineDifference, MachineStanding } from '../../src/insight/machines/report.ts';
import type { Range } from '../../src/insight/range.ts';
import type { MonthRecord, ScoreLine } from '../../src/insight/track-record.ts';
import type { WetnessChange } from '../../src/insight/wetness/change.ts';
import type { TechnicianWetness } from '../../src/insight/wetness/report.ts';
import { MachinesPage } from '../../src/pages/findings-machines.tsx';
import { WetnessPage } from '../../src/pages/findings-wetness.tsx';
import { formatsFor } from '../../src/pages/format.ts';
import { FitsFigure } from '../../src/pages/trust-fits-figure.tsx';
import { TrackFigure } from '../../src/pages/trust-track-figure.tsx';

const formats = formatsFor({
  now: new Date('2025-03-05'),
  timeZone: 'UTC',
  settings: { units: 'si', currency: 'EUR' },
});

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

describe('contract: the picture of the fits', () => {
  const ticks = async (...times: string[]) => {
    const fits = times.map((at) => ({
      fitId: at,
      status: 'superseded' as const,
      reason: null,
      finishedAt: new Date(at),
      nJobs: 9,
    }));
    return String(await (<FitsFigure fits={fits} formats={formats} />));
  };

  it('tells times of day by a clock of 24 hours, as everything else does', async () => {
    for (const last of ['2025-03-03T18:45:00Z', '2025-03-03T21:45:00Z', '2025-03-06T18:00:00Z'])
      expect(await ticks('2025-03-03T18:40:00Z', last), last).not.toMatch(/\d ?[AP]M</);
    expect(await ticks('2025-03-03T18:40:00Z', '2025-03-03T18:45:00Z')).toMatch(/>18:4\d<.*>Mon 3 Mar</);
    expect(await ticks('2025-01-03T18:40:00Z', '2025-03-03T18:40:00Z')).toMatch(/>Feb</);
  });
});

describe('contract: the page on water', () => {
  const factor = { p05: 1.3, p50: 1.43, p95: 1.57, chanceAbove: 0.999 };
  const change = { since: '2025-03-04T15:00:00Z', firstRef: 'a', levelNow: 1.27, levelRange: { p05: 1.14, p95: 1.42 } };
  const technician = (told: WetnessChange | null): TechnicianWetness => ({
    technician: 'ana',
    name: 'Ana',
    jobs: 60,
    measuredJobs: 40,
    waterWithHabit: factor,
    waterAtEqualDryPasses: factor,
    dryPassesPerWetGap: -0.4,
    drying: factor,
    comebacks: { jobs: 40, cases: 1, silent: 39, expected: 1.62, timesOthers: { p05: 0.5, p50: 0.9, p95: 1.8 } },
    secondPass: null,
    change: told,
    overWet: true,
    moreMeasuredJobs: null,
    says: '',
  });
  const changeCell = async (told: WetnessChange | null) => {
    const words = { answer: '', jobsToBeSure: '', comebackBasis: '', secondPasses: '', caution: '' };
    const report = { ...words, technicians: [technician(told)], measuredJobs: 40, lookAt: [], alsoPossible: [] };
    const html = String(await (<WetnessPage report={report} formats={formats} />));
    return /<td[^>]*>([^<]*)<\/td><td[^>]*>none needed</.exec(html)?.[1];
  };

  it('says of which figures the work is taken off, and how many jobs it takes beside the water, not the second passes', async () => {
    const words = { answer: '', comebackBasis: '', secondPasses: '', caution: '', jobsToBeSure: 'It takes 20 jobs.' };
    const report = { ...words, technicians: [technician(null)], measuredJobs: 40, lookAt: [], alsoPossible: [] };
    const html = String(await (<WetnessPage report={report} formats={formats} />));
    expect(html).toContain('Drying and comebacks are against the others on the same work');
    expect(html.indexOf('It takes 20 jobs.')).toBeLessThan(html.indexOf('Second passes to be safe'));
    for (const passes of ['own dry passes', 'at equal dry passes'])
      expect(html).toContain(`Chance of more than × 1.15, ${passes}`);
  });

  it('tells a change in time with its range, and none where it was so from the first', async () => {
    expect(await changeCell(null)).toBe('no sign');
    expect(await changeCell({ ...change, fromTheFirst: true })).toBe('none: so from the first measured job on');
    expect(await changeCell({ ...change, fromTheFirst: false })).toBe(
      'since about 4 March 2025; lately × 1.27 (1.14 to 1.42) at equal dry passes',
    );
  });
});
