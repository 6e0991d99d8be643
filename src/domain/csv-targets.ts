import { columns } from './csv-columns.ts';
import {
  areas,
  bodyStyles,
  brushes,
  comebacks,
  damages,
  dryingAids,
  fabrics,
  methods,
  results,
  soils,
  stains,
} from './vocabulary.ts';

/** How the cells of a foreign column are read into one of ours. */
type TargetKind = 'text' | 'number' | 'words' | 'technician' | 'machine' | 'day' | 'time' | 'own';

/** The units that a foreign column may hold; the first is the one that is stored. */
export type Measured = 'litres' | 'surface' | 'temperature' | 'speed' | 'minutes' | 'hours';

/** One thing that a spreadsheet may tell of a job: a column of ours, or a part of one. */
export interface Target {
  readonly name: string;
  readonly of: 'job' | 'section';
  readonly kind: TargetKind;
  /** A closed list. */
  readonly words?: readonly string[];
  readonly measured?: Measured;
  /** Several words in one cell. */
  readonly many?: true;
}

const yesNo = ['yes', 'no'] as const;

const closed: Readonly<Record<string, readonly string[]>> = {
  body_style: bodyStyles,
  seats_removed: yesNo,
  final_vacuum: yesNo,
  area: areas,
  fabric: fabrics,
  soil: soils,
  stains,
  method: methods,
  brush: brushes,
  result: results,
  drying_aid: dryingAids,
  handover: results,
  comeback: comebacks,
  damage: damages,
};

const measured: Readonly<Record<string, Measured>> = {
  solution_c: 'temperature',
  air_c: 'temperature',
  job_sprayed_l: 'litres',
  job_recovered_l: 'litres',
  sprayed_l: 'litres',
  recovered_l: 'litres',
  surface_m2: 'surface',
  air_speed_ms: 'speed',
  quoted_hours: 'hours',
};

/** What foreign sheets hold in cells of their own where ours has one for both. */
const parts: Readonly<Record<string, readonly Target[]>> = {
  finished_at: [{ name: 'finished_time', of: 'job', kind: 'time' }],
  labour: [
    { name: 'technician', of: 'job', kind: 'technician', many: true },
    { name: 'minutes', of: 'job', kind: 'number', measured: 'minutes' },
  ],
  checks: [{ name: 'dried_after', of: 'job', kind: 'number', measured: 'hours' }],
};

/** Everything that can be chosen, in the order of our columns. */
export const targets: readonly Target[] = columns.flatMap((column) => [
  targetOf(column),
  ...(parts[column.name] ?? []),
]);

const byName = new Map(targets.map((target) => [target.name, target]));

export function targetNamed(name: string): Target | undefined {
  return byName.get(name);
}

/** What no job can be without, each with those that may stand for it together. */
export const neededTargets: readonly (readonly [string, ...string[]])[] = [
  ['ref'],
  ['finished_at'],
  ['body_style'],
  ['labour', 'technician', 'minutes'],
  ['area'],
  ['fabric'],
  ['soil'],
  ['method'],
  ['wet_passes'],
];

function targetOf({ name, of, kind }: (typeof columns)[number]): Target {
  const [words, unit] = [closed[name], measured[name]];
  return {
    name,
    of,
    kind: words ? 'words' : kindOf(name, kind),
    ...(words ? { words } : {}),
    ...(unit ? { measured: unit } : {}),
    ...(kind === 'words' ? { many: true } : {}),
  };
}

function kindOf(name: string, kind: (typeof columns)[number]['kind']): TargetKind {
  if (name === 'finished_at') return 'day';
  if (name === 'extractor') return 'machine';
  if (name === 'section_technician') return 'technician';
  if (kind === 'number') return 'number';
  return kind === 'labour' || kind === 'checks' ? 'own' : 'text';
}
