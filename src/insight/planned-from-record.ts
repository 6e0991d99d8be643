import { type PlannedJob, plannedJob } from '../domain/planned.ts';
import type { FinishedJob } from '../domain/record.ts';

/** A finished job as it stood before the work: what was known then, who did it and with what. */
export function plannedFromRecord(job: FinishedJob): PlannedJob {
  const worked = job.labour.filter(({ minutes }) => minutes > 0);
  const main = worked.reduce((most, one) => (one.minutes > most.minutes ? one : most), worked[0]);
  const { aid, airC, rhPercent, airSpeedMs } = job.drying ?? {};
  return plannedJob.parse({
    bodyStyle: job.bodyStyle,
    modelYear: job.modelYear,
    seatsRemoved: job.seatsRemoved,
    extractor: job.extractor,
    finalVacuum: job.finalVacuum,
    technician: main?.technician,
    crew: Math.max(1, worked.length),
    startAt: job.finishedAt,
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
