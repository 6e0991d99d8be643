import type { FinishedJob } from '../domain/record.ts';
import type { DryingAfterWork } from '../insight/given-estimate.ts';
import { eightOfTen, originOf, quarterDown, quarterUp } from './desk-words.ts';
import type { Formats } from './format.ts';

interface DryingForecastProps {
  readonly job: FinishedJob;
  readonly forecast: DryingAfterWork | undefined;
  readonly formats: Formats;
}

/** When a finished job may be expected to be dry: a forecast to plan the check by, not the check. */
export function DryingForecast({ job, forecast, formats }: DryingForecastProps) {
  if (forecast === undefined) return null;
  const { dryHours, knowsLitres, cautions } = forecast;
  return (
    <>
      <p>
        {dryBetween(job, forecast, formats)}. That is {eightOfTen(dryHours, formats)} after the work, by the passes made
        {knowsLitres && ' and the litres left in'}. Check the slowest place by hand or meter before it goes back.
      </p>
      {cautions.map(({ text, because }) => (
        <p>
          {text} ({because})
        </p>
      ))}
    </>
  );
}

/** "8 of 10 such jobs are dry between Wed 5 Mar, 17:00 and 23:45 (rule of thumb alone)": to the quarter, for no forecast knows the minute. */
export function dryBetween({ finishedAt }: FinishedJob, forecast: DryingAfterWork, formats: Formats): string {
  const { dryHours, wetAt } = forecast;
  const at = (hours: number) => new Date(Date.parse(finishedAt) + hours * 3_600_000).toISOString();
  const [from, to] = [quarterDown(at(dryHours.p10)), quarterUp(at(dryHours.p90))];
  const isOneDay = formats.date(from) === formats.date(to);
  const known = wetAt === undefined ? '' : ` still wet after ${formats.hours(wetAt)}`;
  const until = isOneDay ? formats.time(to) : formats.dateTime(to);
  return `8 of 10 such jobs${known} are dry between ${formats.dateTime(from)} and ${until} (${originOf(forecast, formats)})`;
}
