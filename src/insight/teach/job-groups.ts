import { stillInUse } from '../../domain/lists.ts';
import { jobReadings } from '../../models/readings.ts';
import type { DoneJob } from '../../models/shop-view.ts';
import { isExtracted, mainTechnician } from '../../models/work-section.ts';
import { dayOf, type ShopRecords } from '../shop-records.ts';
import type { JobFigures } from './job-figures.ts';

/** What is to be noted: the litres of the tanks before and after, or when it was still wet and when dry. */
export type Noted = 'litres' | 'drying checks';

/** A kind of job on which something may be noted, with those of the mix that are of it. */
export interface JobGroup {
  readonly note: Noted;
  readonly of: 'any job' | 'technician' | 'extractor' | 'fabric' | 'drying aid';
  readonly key: string;
  /** Behind "ten more jobs". */
  readonly name: string;
  readonly jobs: readonly JobFigures[];
  readonly jobsSoFar: number;
}

type Kind = Pick<JobGroup, 'note' | 'of'> & {
  /** Of a job, whose group it is in; undefined for none. */
  readonly keyOf: (done: DoneJob) => string | undefined;
  readonly name: (key: string) => string;
};

/** The kinds of job in the mix, for litres and for drying checks; people and extractors only while they are there. */
export function jobGroups(
  mix: readonly JobFigures[],
  all: readonly DoneJob[],
  shop: ShopRecords,
  now: Date,
): readonly JobGroup[] {
  const { technicians, machines } = shop;
  const today = dayOf(shop, now);
  return kindsOf(namesOf(technicians, today), namesOf(machines, today)).flatMap((kind) => groupsOf(kind, mix, all));
}

/** By key; a person and an extractor may have the same. */
type Names = ReadonlyMap<string, string>;

type Listed = Pick<ShopRecords['technicians'][number], 'key' | 'name' | 'until'>;

function namesOf(list: readonly Listed[], today: string): Names {
  return new Map(stillInUse(list, today).map(({ key, name }) => [key, name]));
}

function kindsOf(people: Names, extractors: Names): readonly Kind[] {
  const listed = (names: Names, key: string | null) => (key !== null && names.has(key) ? key : undefined);
  const person = ({ job }: DoneJob) => listed(people, mainTechnician(job));
  const fabric = ({ sections }: DoneJob) => largest(sections)?.fabric;
  const shared = (note: Noted): Kind[] => [
    { note, of: 'any job', keyOf: () => '', name: () => '' },
    { note, of: 'technician', keyOf: person, name: (key) => ` of ${people.get(key)}` },
    { note, of: 'fabric', keyOf: fabric, name: (key) => ` mostly of ${key}` },
  ];
  return [
    ...shared('litres'),
    {
      note: 'litres',
      of: 'extractor',
      keyOf: ({ job }) => listed(extractors, job.extractor),
      name: (key) => ` with ${extractors.get(key)}`,
    },
    ...shared('drying checks'),
    {
      note: 'drying checks',
      of: 'drying aid',
      keyOf: ({ job }) => job.drying?.aid,
      name: (key) => ` dried by ${key}`,
    },
  ];
}

function groupsOf({ note, of, keyOf, name }: Kind, mix: readonly JobFigures[], all: readonly DoneJob[]): JobGroup[] {
  const groups = new Map<string, JobFigures[]>();
  for (const one of mix) {
    const key = keyOf(one.done);
    if (key === undefined || (note === 'litres' && one.tanks === undefined)) continue;
    groups.set(key, [...(groups.get(key) ?? []), one]);
  }
  const noted = new Map<string, number>();
  for (const done of all) {
    const key = isNoted(note, done) ? keyOf(done) : undefined;
    if (key !== undefined) noted.set(key, (noted.get(key) ?? 0) + 1);
  }
  return [...groups].map(([key, jobs]) => {
    return { note, of, key, name: name(key), jobs, jobsSoFar: noted.get(key) ?? 0 };
  });
}

function isNoted(note: Noted, { job, sections }: DoneJob): boolean {
  if (note === 'drying checks') return (job.drying?.checks.length ?? 0) > 0;
  return jobReadings(job, sections).readings.length > 0;
}

function largest(sections: DoneJob['sections']): DoneJob['sections'][number] | undefined {
  const [most] = sections.filter(isExtracted).toSorted((a, b) => b.surfaceM2 - a.surfaceM2);
  return most ?? sections[0];
}
