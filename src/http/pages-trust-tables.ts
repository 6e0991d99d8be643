import { guarded } from '../domain/csv-cells.ts';
import type { EvidencePoint } from '../insight/evidence-history.ts';
import type { Range } from '../insight/range.ts';
import type { RuleLine } from '../insight/rules/rule-lines.ts';
import { significant } from '../models/estimate/figure.ts';
import type { FitEntry } from '../store/fits.ts';
import type { Table } from './report-tables.ts';

export function fitsTable(fits: readonly FitEntry[]): Table {
  return [
    ['fit', 'learnt_at', 'jobs', 'status', 'reason'],
    ...fits.map(({ fitId, finishedAt, nJobs, status, reason }) => [
      fitId,
      finishedAt.toISOString(),
      String(nJobs),
      status,
      guarded(reason ?? ''),
    ]),
  ];
}

/** Rules of thumb beside what was learnt, in the measure named. */
export function ruleTable(lines: readonly RuleLine[]): Table {
  const three = (range: Range | undefined) =>
    range === undefined ? ['', '', ''] : [range.p05, range.p50, range.p95].map((value) => String(significant(value)));
  const names = (of: string) => ['p05', 'middle', 'p95'].map((p) => `${of}_${p}`);
  return [
    ['rule', 'figure', 'name', 'measure', 'adjusted', ...names('rule_of_thumb'), ...names('learnt'), 'own_share'],
    ...lines.map(({ id, model, name, measure, isAdjusted, rule, data, ownShare }) => [
      id,
      model,
      name,
      measure,
      String(isAdjusted),
      ...three(rule),
      ...three(data),
      ownShare === undefined ? '' : String(significant(ownShare)),
    ]),
  ];
}

export function evidenceTable(points: readonly EvidencePoint[]): Table {
  return [
    ['at', 'jobs', 'passes_own_share', 'hours_own_share', 'water_own_share', 'drying_own_share'],
    ...points.map(({ at, jobs, shares }) => [
      at.toISOString(),
      String(jobs),
      ...[shares.passes, shares.labour, shares.water, shares.drying].map(String),
    ]),
  ];
}
