import { fault, faultSaying, type Path } from './faults.ts';
import type { FinishedJob, Section } from './record.ts';

export type ModelName = 'passes' | 'labour' | 'water' | 'drying';

/** Something in a record that is kept but hard to believe, and the models that do not read the record for it. */
export interface Doubt {
  readonly rule: DoubtRule;
  readonly pointer: string;
  readonly field: string;
  readonly message: string;
  readonly leftOutOf: readonly ModelName[];
}

export type DoubtRule =
  | 'recovered-exceeds-sprayed'
  | 'recovered-without-sprayed'
  | 'litres-on-spot'
  | 'extraction-without-extractor'
  | 'clean-without-a-pass'
  | 'technician-without-minutes'
  | 'minutes-too-few';

/** A doubt of what hardly is, not of what contradicts itself: whoever was there can say that it was so. */
export function mayBeSo({ rule }: Pick<Doubt, 'rule'>): boolean {
  return rule === 'minutes-too-few';
}

/** Hardly anybody sets an extractor up, extracts and puts it away in less. Common practice, no source. */
const fewestMinutes = 10;

/** What is doubtful about a record, read from the record alone. */
export function doubtsOf(record: FinishedJob): Doubt[] {
  const doubts = litreDoubts(record, []);
  const extracted = record.sections.findIndex(({ method }) => method !== 'spot');
  if (record.extractor === null && extracted >= 0)
    doubts.push(
      doubt(
        'extraction-without-extractor',
        ['extractor'],
        `no extractor is named, but sections[${extracted}] was extracted`,
      ),
    );
  const minutes = record.labour.reduce((sum, share) => sum + share.minutes, 0);
  if (extracted >= 0 && minutes > 0 && minutes < fewestMinutes)
    doubts.push(
      doubt(
        'minutes-too-few',
        ['labour'],
        `labour is ${Number(minutes.toFixed(2))} minutes in all: too few for an extraction, set-up and all, so hours in place of minutes?`,
        'labour',
      ),
    );
  record.sections.forEach((section, i) => {
    sectionDoubts(section, i, record, doubts);
  });
  return doubts;
}

function sectionDoubts(section: Section, i: number, record: FinishedJob, doubts: Doubt[]): void {
  const path = ['sections', i];
  const { method, technician } = section;
  if (method !== 'spot') doubts.push(...litreDoubts(section, path));
  else if (section.sprayedLitres !== undefined || section.recoveredLitres !== undefined)
    doubts.push(doubt('litres-on-spot', path, `sections[${i}] is spot work, which no tank reading covers`, 'water'));
  if (section.wetPasses === 0 && section.result === 'clean')
    doubts.push(
      doubt('clean-without-a-pass', [...path, 'wetPasses'], `sections[${i}] came clean in 0 passes`, 'passes'),
    );
  if (technician !== undefined && !record.labour.some((share) => share.technician === technician))
    doubts.push(
      doubt(
        'technician-without-minutes',
        [...path, 'technician'],
        `${technician} worked sections[${i}] but has no minutes`,
      ),
    );
}

type Litres = Pick<Section, 'sprayedLitres' | 'recoveredLitres'>;

function litreDoubts({ sprayedLitres, recoveredLitres }: Litres, path: Path): Doubt[] {
  if (recoveredLitres === undefined) return [];
  const place = [...path, 'recoveredLitres'];
  if (sprayedLitres === undefined) {
    const { message } = fault(place, recoveredLitres, 'of no use without sprayedLitres');
    return [doubt('recovered-without-sprayed', place, message)];
  }
  if (recoveredLitres <= sprayedLitres) return [];
  const { message } = fault(place, recoveredLitres, `more than the ${sprayedLitres} sprayed`);
  return [doubt('recovered-exceeds-sprayed', place, message, 'water')];
}

function doubt(rule: DoubtRule, path: Path, message: string, ...leftOutOf: ModelName[]): Doubt {
  const { pointer, field } = faultSaying(path, message);
  return { rule, pointer, field, message, leftOutOf };
}
