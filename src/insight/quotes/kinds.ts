import type { FinishedJob } from '../../domain/record.ts';
import { surfaceM2Of } from '../../domain/surface.ts';
import { soils } from '../../domain/vocabulary.ts';

/** Ways to sort jobs into kinds, each with the kind of a job. */
export const kindsBy = {
  bodyStyle: (job: FinishedJob) => job.bodyStyle,
  heaviestSoil: (job: FinishedJob) => soils[Math.max(...job.sections.map(({ soil }) => soils.indexOf(soil)))],
  mainFabric: (job: FinishedJob) => main(job, ({ fabric }) => fabric),
  mainMethod: (job: FinishedJob) => main(job, ({ method }) => method),
  seats: (job: FinishedJob) => (job.seatsRemoved ? 'taken out' : 'left in'),
} as const satisfies Record<string, (job: FinishedJob) => string>;

export type KindBy = keyof typeof kindsBy;

/** What most of the surface is. */
function main(job: FinishedJob, of: (section: FinishedJob['sections'][number]) => string): string {
  const surface = new Map<string, number>();
  for (const section of job.sections)
    surface.set(of(section), (surface.get(of(section)) ?? 0) + surfaceM2Of(section, job.bodyStyle));
  return [...surface].reduce((most, one) => (one[1] > most[1] ? one : most))[0];
}
