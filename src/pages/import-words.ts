/** How the pages of taking in name what a spreadsheet may tell. */
import { unitsOf } from '../domain/csv-amounts.ts';
import type { CsvProfile } from '../domain/csv-profile.ts';
import { type Target, targetNamed } from '../domain/csv-targets.ts';

const labels: Readonly<Record<string, string>> = {
  ref: 'Job number',
  finished_at: 'Day finished, or day and time',
  finished_time: 'Time finished, in a column of its own',
  body_style: 'Body style',
  model_year: 'Model year',
  seats_removed: 'Seats taken out',
  labour: 'Labour as technician:minutes',
  technician: 'Technician, one or several',
  minutes: 'Labour of the job, minutes or hours',
  extractor: 'Extractor',
  dilution: 'Dilution, parts of water to one',
  solution_c: 'Temperature of the solution',
  job_sprayed_l: 'Water put down, whole job',
  job_recovered_l: 'Water got back, whole job',
  final_vacuum: 'Last vacuum round over everything',
  area: 'Section: area',
  count: 'Section: how many pieces',
  surface_m2: 'Section: surface',
  fabric: 'Section: fabric',
  soil: 'Section: soil',
  stains: 'Section: stains',
  method: 'Section: method',
  brush: 'Section: brush',
  wet_passes: 'Section: wet passes',
  spot_rounds: 'Section: rounds of spotting',
  dry_passes: 'Section: dry passes',
  sprayed_l: 'Section: water put down',
  recovered_l: 'Section: water got back',
  section_technician: 'Section: technician',
  result: 'Section: result',
  drying_aid: 'Drying aid',
  air_c: 'Temperature of the air',
  rh_percent: 'Relative humidity, %',
  air_speed_ms: 'Air speed',
  checks: 'Drying checks as hours:wet or hours:dry',
  dried_after: 'Time after the end until it was dry',
  quoted_hours: 'Quoted hours',
  quoted_price: 'Quoted price',
  quoted_estimate: 'Estimate made here (its id)',
  handover: 'Result at handover',
  comeback: 'Comeback',
  damage: 'Damage',
  note: 'Note',
};

export function targetLabel(name: string): string {
  return labels[name] ?? name;
}

/** The same with the unit that it is stored in. */
export function labelWithUnit(name: string): string {
  const measured = targetNamed(name)?.measured;
  return measured ? `${targetLabel(name)}, ${unitsOf[measured][0].name}` : targetLabel(name);
}

/** The name of a form's field: letters, digits and dashes alone. */
export function fieldFor(name: string): string {
  return name.replaceAll('_', '-');
}

/** The unit of a target that is read without a choice. */
export function unitOptions({ measured }: Target): readonly (readonly [string, string])[] {
  return measured ? unitsOf[measured].map(({ name }) => [name, name] as const) : [];
}

/** How much hangs on a word; nothing where its rows were not counted. */
export function inRows(count: number): string {
  return count === 0 ? '' : `In ${count} ${count === 1 ? 'row' : 'rows'}.`;
}

/** A column as its owner knows it: letter, heading, and what stands in it. */
export function columnWords({ header, columns }: CsvProfile, at: number): string {
  const heading = header[at] || 'no heading';
  const seen = (columns[at]?.words ?? [])
    .slice(0, 2)
    .map((word) => (word.length > 18 ? `${word.slice(0, 17)}…` : word));
  return `${columnLetter(at)}, ${heading}${seen.length > 0 ? ` (${seen.join(', ')})` : ' (empty)'}`;
}

/** A, B, … Z, AA, as spreadsheets count. */
export function columnLetter(at: number): string {
  const rest = String.fromCharCode(65 + (at % 26));
  return at < 26 ? rest : columnLetter(Math.floor(at / 26) - 1) + rest;
}
