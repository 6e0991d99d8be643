import { describe, expect, it } from 'vitest';
import { wetnessTable } from '../../src/http/report-tables.ts';
import type { WetnessReport } from '../../src/insight/wetness/report.ts';

const range = { p05: 1.2, p50: 1.3, p95: 1.4, chanceAbove: 1 };
const technician: WetnessReport['technicians'][number] = {
  technician: 'odo',
  name: 'Odo',
  jobs: 40,
  measuredJobs: 30,
  waterWithHabit: range,
  waterAtEqualDryPasses: range,
  dryPassesPerWetGap: 0,
  drying: range,
  comebacks: { jobs: 0, cases: 0, silent: 0, expected: 0, timesOthers: { p05: 0.5, p50: 1, p95: 2 } },
  secondPass: null,
  change: {
    since: '2025-06-10T11:35:00Z',
    firstRef: 'T-22',
    fromTheFirst: false,
    levelNow: 1.3,
    levelRange: { p05: 1.2, p95: 1.4 },
  },
  overWet: true,
  moreMeasuredJobs: null,
  says: '',
};

describe('contract: wetness as a table', () => {
  it('tells since when somebody changed, and nothing of who was so from the first measured job on', () => {
    const { change } = technician;
    const always = { ...technician, change: change && { ...change, fromTheFirst: true } };
    const report = { technicians: [technician, always] } as unknown as WetnessReport;
    const rows = wetnessTable(report);
    expect(rows.map((row) => row.at(-1))).toEqual(['change_since', '2025-06-10T11:35:00Z', '']);
  });
});
