import type { GivenEstimate } from '../insight/given-estimate.ts';
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
