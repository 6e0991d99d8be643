import type { FinishedJob } from '../domain/record.ts';
import type { DryingAfterWork, GivenEstimate } from '../insight/given-estimate.ts';
import { eightOfTen, originOf } from './desk-words.ts';
import type { Formats } from './format.ts';
import { Notice } from './notice.tsx';
import { headingFor } from './words.ts';

interface ForecastProps {
  readonly estimate: GivenEstimate;
  readonly formats: Formats;
  /** What the figures are of: "This job as estimated". */
  readonly of: string;
}

/** What a job is likely to take, in a line that opens; for whoever is about to do it. */
export function Forecast({ estimate, formats, of }: ForecastProps) {
  const { labourHours, dryHours, passes, sections, cautions } = estimate;
  const [work, dry] = [eightOfTen(labourHours, formats), eightOfTen(dryHours, formats)];
  return (
    <details class="group forecast">
      <summary>
        {of}: {work} of work, dry {dry} after it
      </summary>
      <p>
        Person-hours of work, and hours until the slowest part is dry, in 8 of 10 such jobs. Work:{' '}
        {originOf(labourHours, formats)}. Drying: {originOf(dryHours, formats)}.
      </p>
      <ul>
        {sections.map(({ area, passesNeeded }) => (
          <li>
            {headingFor(area)}: {passesInWords(passesNeeded)}
          </li>
        ))}
      </ul>
      <p>
        Of 100 such parts, so many are clean after so many passes: {originOf(passes, formats)}. Look after each pass,
        and stop when it is clean.
      </p>
      {cautions.map(({ id, text }) => (
        <Notice kind={isUrgent(id) ? 'caution' : 'note'}>
          <p>{text}</p>
        </Notice>
      ))}
    </details>
  );
}

interface DryingForecastProps {
  readonly job: FinishedJob;
  readonly forecast: DryingAfterWork | undefined;
  readonly formats: Formats;
}

/** When a job that was just recorded may be expected to be dry: a forecast to plan the check by, not the check. */
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
  const quarter = (hours: number, whole: (quarters: number) => number) =>
    new Date(whole((Date.parse(finishedAt) + hours * 3_600_000) / quarterMs) * quarterMs);
  const [from, to] = [quarter(dryHours.p10, Math.floor), quarter(dryHours.p90, Math.ceil)];
  const isOneDay = formats.date(from) === formats.date(to);
  const known = wetAt === undefined ? '' : ` still wet after ${formats.hours(wetAt)}`;
  const until = isOneDay ? formats.time(to) : formats.dateTime(to);
  return `8 of 10 such jobs${known} are dry between ${formats.dateTime(from)} and ${until} (${originOf(forecast, formats)})`;
}

const quarterMs = 900_000;

/** Seldom ones are left out, but at least the likeliest is said. */
function passesInWords(chances: GivenEstimate['sections'][number]['passesNeeded']): string {
  const said = chances.filter(({ chance }) => chance >= 0.05);
  return said
    .map(({ passes, orMore, chance }) => `${passes}${orMore ? ' or more' : ''} in ${Math.round(100 * chance)}`)
    .join(', ');
}

function isUrgent(id: string): boolean {
  return isMould(id) || id === 'biohazard';
}

function isMould(id: string): boolean {
  return id.startsWith('mould');
}
