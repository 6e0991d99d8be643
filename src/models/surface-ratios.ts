import type { FinishedJob } from '../domain/record.ts';
import { tableSurfaceM2 } from '../domain/surface.ts';
import { type Area, areas } from '../domain/vocabulary.ts';

/** Recorded surface over the table's, by area: the shop's own eye for what one of its sections is. */
export type SurfaceRatios = Readonly<Record<Area, number>>;

/** Pseudo-records that hold an area's ratio to the shop's overall one, and that one to the table. */
const shrinkage = 3;

/** A ratio outside these bounds is a slip of the decimal point or another unit, and is not read: of an area seen once the bound itself would tell too much. */
const believable = { least: 0.4, most: 2.5 };

/** The mean ratio of recorded to tabulated surface by area, shrunk to the shop's overall ratio. */
export function surfaceRatios(records: readonly FinishedJob[]): SurfaceRatios {
  const sum = new Map<Area, number>();
  const count = new Map<Area, number>();
  for (const job of records)
    for (const section of job.sections) {
      if (section.surfaceM2 === undefined) continue;
      const ratio = section.surfaceM2 / tableSurfaceM2(section.area, section.count, job.bodyStyle);
      if (ratio < believable.least || ratio > believable.most) continue;
      sum.set(section.area, (sum.get(section.area) ?? 0) + ratio);
      count.set(section.area, (count.get(section.area) ?? 0) + 1);
    }
  const overall = (total(sum) + shrinkage) / (total(count) + shrinkage);
  const ratio = (area: Area) => ((sum.get(area) ?? 0) + shrinkage * overall) / ((count.get(area) ?? 0) + shrinkage);
  return Object.fromEntries(areas.map((area) => [area, ratio(area)])) as Record<Area, number>; // border: fromEntries forgets its keys
}

function total(byArea: ReadonlyMap<Area, number>): number {
  return [...byArea.values()].reduce((a, b) => a + b, 0);
}
