import { type PlannedJob, plannedJob } from '../domain/planned.ts';
import type { FinishedJob } from '../domain/record.ts';
import { mainTechnician } from '../models/work-section.ts';

/** A finished job as it stood before the work: what was known then, who did it and with what, and when it began had nobody had a break. */
export function plannedFromRecord(job: FinishedJob): PlannedJob {
  const crew = Math.max(1, job.labour.filter(({ minutes }) => minutes > 0).length);
  const { aid, airC, rhPercent, airSpeedMs } = job.drying ?? {};
  return plannedJob.parse({
    bodyStyle: job.bodyStyle,
    modelYear: job.modelYear,
    seatsRemoved: job.seatsRemoved,
    extractor: job.extractor,
    finalVacuum: job.finalVacuum,
    technician: mainTechnician(job),
    crew,
    startAt: beganAt(job, crew).toISOString(),
    drying: { aid, airC, rhPercent, airSpeedMs },
    sections: job.sections.map(({ area, count, surfaceM2, fabric, soil, stains, method, brush, technician }) => ({
      area,
      count,
      surfaceM2,
      fabric,
      soil,
      stains,
      method,
      brush,
      technician,
    })),
  });
}

/** A clock that was never set says that work ended in the first hours of 2000, and no plan may begin before. */
const earliest = Date.UTC(2000);

function beganAt({ finishedAt, labour }: FinishedJob, crew: number): Date {
  const minutes = labour.reduce((sum, one) => sum + one.minutes, 0);
  return new Date(Math.max(earliest, Date.parse(finishedAt) - (minutes / crew) * 60_000));
}
