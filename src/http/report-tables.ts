import { guarded } from '../domain/csv-cells.ts';
import type { ComebackRate, ComebackReport } from '../insight/comebacks.ts';
import type { MachinesReport } from '../insight/machines/report.ts';
import type { UpgradeReport } from '../insight/machines/upgrade.ts';
import type { ListPrice } from '../insight/quotes/price-list.ts';
import type { QuotesReport } from '../insight/quotes/report.ts';
import type { Range } from '../insight/range.ts';
import type { RecordingReport } from '../insight/teach/what-to-record.ts';
import type { TrackRecord } from '../insight/track-record.ts';
import type { WetnessReport } from '../insight/wetness/report.ts';

/** Rows of cells, the header first. */
export type Table = readonly (readonly string[])[];

const range = ({ p05, p50, p95 }: Range) => [p05, p50, p95].map(String);
const rangeNames = (name: string) => ['p05', 'p50', 'p95'].map((p) => `${name}_${p}`);

export function wetnessTable({ technicians }: WetnessReport): Table {
  return [
    [
      'technician',
      'name',
      'jobs',
      'measured_jobs',
      ...rangeNames('water_times_others'),
      'chance_above_1.15',
      ...rangeNames('water_times_others_at_equal_dry_passes'),
      ...rangeNames('drying_times_others'),
      'jobs_that_tell_comebacks',
      'comebacks',
      'comebacks_expected_of_others',
      ...rangeNames('comebacks_times_others'),
      'second_pass_to_be_safe',
      'over_wet',
      'change_since',
    ],
    ...technicians.map((one) => [
      one.technician,
      guarded(one.name),
      String(one.jobs),
      String(one.measuredJobs),
      ...range(one.waterWithHabit),
      String(one.waterWithHabit.chanceAbove),
      ...range(one.waterAtEqualDryPasses),
      ...range(one.drying),
      String(one.comebacks.jobs),
      String(one.comebacks.cases),
      String(one.comebacks.expected),
      ...range(one.comebacks.timesOthers),
      one.secondPass === null ? '' : String(one.secondPass.chance),
      String(one.overWet),
      one.change === null || one.change.fromTheFirst ? '' : one.change.since,
    ]),
  ];
}

export function machinesTable({ machines }: MachinesReport): Table {
  const figures = [
    'passes',
    'hours',
    'water_l_per_m2',
    'dry_hours',
    'hours_against_baseline',
    'water_percent_against_baseline',
  ];
  return [
    ['machine', 'name', 'grade', 'jobs', ...figures.flatMap(rangeNames)],
    ...machines.map((one) => [
      one.machine,
      guarded(one.name),
      one.grade,
      String(one.jobs),
      ...range(one.passes),
      ...range(one.hours),
      ...range(one.waterLPerM2),
      ...range(one.dryHours),
      ...(one.againstBaseline === null
        ? Array<string>(6).fill('')
        : [...range(one.againstBaseline.hours), ...range(one.againstBaseline.waterPercent)]),
    ]),
  ];
}

export function upgradeTable({ payback, ...report }: UpgradeReport): Table {
  const { hoursSavedPerMonth, dryingHoursSavedPerMonth, savingPerMonth } = report;
  return [
    [
      'grade',
      'replaces',
      'jobs_per_month',
      'pace_until',
      ...['hours_saved_per_month', 'drying_hours_saved_per_month', 'saving_per_month'].flatMap(rangeNames),
      'currency',
      ...['p10', 'p50', 'p90'].map((p) => `months_to_pay_back_${p}`),
      'chance_never',
      'trial_jobs',
    ],
    [
      report.grade,
      report.replaces,
      String(report.jobsPerMonth),
      report.paceUntil ?? '',
      ...[hoursSavedPerMonth, dryingHoursSavedPerMonth, savingPerMonth].flatMap(range),
      report.currency,
      ...[payback.p10, payback.p50, payback.p90].map((months) => String(months ?? '')),
      String(payback.chanceNever),
      String(report.trialJobs ?? ''),
    ],
  ];
}

export function quotesTable({ byKind }: QuotesReport): Table {
  return [
    [
      'sorted_by',
      'kind',
      'jobs',
      'over',
      ...rangeNames('share_over'),
      ...rangeNames('taken_over_quoted'),
      'median_quoted_hours',
      'hours_to_quote',
    ],
    ...Object.entries(byKind).flatMap(([by, kinds]) =>
      kinds.map((one) => [
        by,
        one.kind,
        String(one.jobs),
        String(one.over),
        ...range(one.shareOver),
        ...range(one.takenOverQuoted),
        String(one.medianQuotedHours),
        String(one.hoursToQuote),
      ]),
    ),
  ];
}

export function pricesTable(prices: readonly ListPrice[]): Table {
  return [
    ['body_style', 'soil', 'cleaned', 'hours', 'price', 'currency', 'evidence_share'],
    ...prices.map((one) => [
      one.bodyStyle,
      one.soil,
      one.cleaned,
      String(one.hours),
      String(one.price),
      one.currency,
      String(one.evidenceShare),
    ]),
  ];
}

export function trackTable({ months }: TrackRecord): Table {
  const names = ['outcomes', 'mean_score', 'rule_of_thumb', 'soil_means', 'least_squares'];
  return [
    [
      'month',
      'jobs_known',
      'model',
      ...names,
      ...rangeNames('gain_percent'),
      ...rangeNames('share_inside_80'),
      'bias',
      'unit',
    ],
    ...months.flatMap(({ month, jobsKnown, models }) =>
      models.map((one) => [
        month,
        String(jobsKnown),
        one.model,
        ...[one.outcomes, one.meanScore, one.ruleOfThumb, one.soilMeans, one.leastSquares].map((value) =>
          String(value ?? ''),
        ),
        ...(one.gainPercent === null ? ['', '', ''] : range(one.gainPercent)),
        ...(one.inside80 === null ? ['', '', ''] : range(one.inside80)),
        String(one.bias ?? ''),
        one.unit,
      ]),
    ),
  ];
}

export function comebackTable({ byMethod, byStain, byWaterLeftIn }: ComebackReport): Table {
  const rows = (by: string, kinds: readonly ComebackRate[]) =>
    kinds.map(({ kind, jobs, cases, silent, share }) => [
      by,
      kind,
      ...[jobs, cases, silent].map(String),
      ...range(share),
    ]);
  return [
    ['sorted_by', 'kind', 'jobs', 'comebacks', 'nothing_noted', ...rangeNames('share')],
    ...rows('method', byMethod),
    ...rows('stain', byStain),
    ...rows('water left in', byWaterLeftIn),
  ];
}

export function recordingTable({ suggestions }: RecordingReport): Table {
  return [
    ['note', 'of', 'key', 'jobs_so_far', 'narrows_water', 'narrows_drying', 'text'],
    ...suggestions.map((one) => [
      one.note,
      one.of,
      one.key,
      String(one.jobsSoFar),
      String(one.narrowsWater),
      String(one.narrowsDrying),
      guarded(one.text),
    ]),
  ];
}
