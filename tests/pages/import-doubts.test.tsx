import { describe, expect, it } from 'vitest';
import { formatsFor } from '../../src/pages/format.ts';
import { Doubts } from '../../src/pages/import-doubts.tsx';
import type { ImportReport } from '../../src/pages/import-report.tsx';

const formats = formatsFor({
  now: new Date('2025-03-05'),
  timeZone: 'UTC',
  settings: { units: 'si', currency: 'EUR' },
});
const doubt = (rule: 'extraction-without-extractor' | 'recovered-exceeds-sprayed', leftOutOf: readonly 'water'[]) => ({
  rule,
  leftOutOf,
  pointer: '',
  field: '',
  message: '',
});
const report: ImportReport = {
  accepted: 3,
  unchanged: 0,
  conflicting: 0,
  rejected: 0,
  doubtful: 3,
  doubtfulRecords: [
    { line: 2, ref: 'B-1', doubts: [doubt('extraction-without-extractor', [])] },
    { line: 3, ref: 'B-2', doubts: [doubt('recovered-exceeds-sprayed', ['water'])] },
  ],
  problems: [],
};

describe('contract: what is doubtful in a file', () => {
  it('is told by line and job, with what is not learnt from it, and how many are not listed', async () => {
    const html = String(await (<Doubts report={report} formats={formats} />));
    expect(html).toMatch(/>2<\/th>.*B-1.*Something was extracted, but no extractor is named\. *<\/td>/);
    expect(html).toMatch(
      />3<\/th>.*B-2.*got back than was sprayed\. It is left out of what is learnt on water left in\./,
    );
    expect(html).toContain('1 job more is not listed.');
  });

  it('is nothing of a file taken in before it was told', async () => {
    const { doubtfulRecords: _, ...before } = report;
    expect(String(await (<Doubts report={before} formats={formats} />))).toBe('');
  });
});
