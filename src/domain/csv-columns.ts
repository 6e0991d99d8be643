import {
  celsiusOfFahrenheit,
  fahrenheitOfCelsius,
  litresPerUsFluidOunce,
  litresPerUsGallon,
  squareMetresPerSquareFoot,
} from './units.ts';

/** How a cell is written: a list is joined with `;`, `labour` is `technician:minutes;…`, `checks` is `hours:wet|dry;…`. */
export type CellKind = 'text' | 'word' | 'number' | 'boolean' | 'words' | 'labour' | 'checks';

/** One column of the CSV form: a field of the job, the same on each of its rows, or a field of the row's section. */
export interface Column {
  readonly name: string;
  readonly of: 'job' | 'section';
  /** Where the value stands in the job or in the section. */
  readonly path: readonly [string] | readonly [string, string];
  readonly kind: CellKind;
  /** The column's US unit; only on columns that are read and never written. */
  readonly us?: UsUnit;
}

interface UsUnit {
  readonly toSi: (value: number) => number;
  readonly fromSi: (value: number) => number;
}

const job = (name: string, kind: CellKind, ...path: Column['path']): Column => ({ name, of: 'job', path, kind });
const section = (name: string, kind: CellKind, field: string): Column => ({ name, of: 'section', path: [field], kind });

/** The columns of an export, in order. */
export const columns: readonly Column[] = [
  job('ref', 'text', 'ref'),
  job('finished_at', 'word', 'finishedAt'),
  job('body_style', 'word', 'bodyStyle'),
  job('model_year', 'number', 'modelYear'),
  job('seats_removed', 'boolean', 'seatsRemoved'),
  job('labour', 'labour', 'labour'),
  job('extractor', 'word', 'extractor'),
  job('dilution', 'number', 'dilution'),
  job('solution_c', 'number', 'solutionC'),
  job('job_sprayed_l', 'number', 'sprayedLitres'),
  job('job_recovered_l', 'number', 'recoveredLitres'),
  job('final_vacuum', 'boolean', 'finalVacuum'),
  section('area', 'word', 'area'),
  section('count', 'number', 'count'),
  section('surface_m2', 'number', 'surfaceM2'),
  section('fabric', 'word', 'fabric'),
  section('soil', 'word', 'soil'),
  section('stains', 'words', 'stains'),
  section('method', 'word', 'method'),
  section('brush', 'word', 'brush'),
  section('wet_passes', 'number', 'wetPasses'),
  section('spot_rounds', 'number', 'spotRounds'),
  section('dry_passes', 'number', 'dryPasses'),
  section('sprayed_l', 'number', 'sprayedLitres'),
  section('recovered_l', 'number', 'recoveredLitres'),
  section('section_technician', 'word', 'technician'),
  section('result', 'word', 'result'),
  job('drying_aid', 'word', 'drying', 'aid'),
  job('air_c', 'number', 'drying', 'airC'),
  job('rh_percent', 'number', 'drying', 'rhPercent'),
  job('air_speed_ms', 'number', 'drying', 'airSpeedMs'),
  job('checks', 'checks', 'drying', 'checks'),
  job('quoted_hours', 'number', 'quoted', 'hours'),
  job('quoted_price', 'number', 'quoted', 'price'),
  job('quoted_estimate', 'word', 'quoted', 'estimate'),
  job('handover', 'word', 'outcome', 'handover'),
  job('comeback', 'word', 'outcome', 'comeback'),
  job('damage', 'word', 'outcome', 'damage'),
  job('note', 'text', 'note'),
];

const byName = new Map(columns.map((column) => [column.name, column]));
const times = (factor: number): UsUnit => ({ toSi: (value) => value * factor, fromSi: (value) => value / factor });
const fahrenheit: UsUnit = { toSi: celsiusOfFahrenheit, fromSi: fahrenheitOfCelsius };

/** Columns in US units, taken in the place of ours. */
const usColumns: readonly Column[] = [
  us('surface_sqft', 'surface_m2', times(squareMetresPerSquareFoot)),
  ...['sprayed', 'recovered', 'job_sprayed', 'job_recovered'].flatMap((litres) => [
    us(`${litres}_gal`, `${litres}_l`, times(litresPerUsGallon)),
    us(`${litres}_floz`, `${litres}_l`, times(litresPerUsFluidOunce)),
  ]),
  us('air_f', 'air_c', fahrenheit),
  us('solution_f', 'solution_c', fahrenheit),
];

/** Every column that is read, by its header. */
export const readColumns: ReadonlyMap<string, Column> = new Map(
  [...columns, ...usColumns].map((column) => [column.name, column]),
);

/** The column that a fault of a record speaks of, from its pointer; undefined where none does. */
export function columnAt(pointer: string): { readonly column: Column; readonly section?: number } | undefined {
  const steps = pointer.split('/').slice(1);
  if (steps[0] === 'sections' && steps[2] !== undefined) {
    const column = columns.find(({ of, path }) => of === 'section' && path[0] === steps[2]);
    return column && { column, section: Number(steps[1]) };
  }
  const column = columns.find(
    ({ of, path }) => of === 'job' && path[0] === steps[0] && (path[1] === undefined || path[1] === steps[1]),
  );
  return column && { column };
}

function us(name: string, si: string, unit: UsUnit): Column {
  const column = byName.get(si);
  if (!column) throw new Error(`${name} stands for ${si}, which is no column`);
  return { ...column, name, us: unit };
}
