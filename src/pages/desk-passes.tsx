import type { PlannedJobInput } from '../domain/planned.ts';
import type { GivenEstimate, PassChance } from '../insight/given-estimate.ts';
import { originOf } from './desk-words.ts';
import { NumbersTable } from './figure.tsx';
import type { Formats } from './format.ts';
import { areaWords, capital, headingFor } from './words.ts';

interface PassesProps {
  readonly estimate: GivenEstimate;
  readonly plan: PlannedJobInput;
  readonly formats: Formats;
}

/** How many passes each part needs: of twenty such parts, each a token that holds its number of passes. */
export function Passes({ estimate, plan, formats }: PassesProps) {
  const { sections, passes } = estimate;
  const names = sections.map(({ area }, i) => headingFor(areaWords(area, plan.sections[i]?.count ?? 1)));
  return (
    <figure>
      <figcaption>Passes until it is clean, in 20 such parts</figcaption>
      {sections.map(({ passesNeeded, chanceOfGivingUp }, i) => (
        <div class="passes">
          <p>
            <b>{names[i]}:</b> {inWords(twentieths(passesNeeded))}
            {chanceOfGivingUp >= 0.01 &&
              `; stopped before it is clean in ${formats.number(chanceOfGivingUp * 100)} of 100`}
          </p>
          <Row tokens={twentieths(passesNeeded)} />
        </div>
      ))}
      <p class="legend">A pass puts solution down and draws it back. {capital(originOf(passes, formats))}.</p>
      <details>
        <summary>The numbers</summary>
        <NumbersTable caption="Chance in 100 of each number of passes" table={tableOf(estimate, names, formats)} />
      </details>
    </figure>
  );
}

/** The words say the same, so the row is no news to a screen reader. */
function Row({ tokens }: { tokens: readonly Twentieth[] }) {
  return (
    <div class="tokens" aria-hidden="true">
      {tokens.flatMap(({ label, passes, times }) =>
        Array.from({ length: times }, () => <span class={`token token-${Math.min(passes, 4)}`}>{label}</span>),
      )}
    </div>
  );
}

interface Twentieth {
  readonly passes: number;
  readonly label: string;
  readonly times: number;
}

/** The chances as whole parts of twenty, by largest remainder; what has none is left out. */
export function twentieths(chances: readonly PassChance[]): Twentieth[] {
  const exact = chances.map(({ chance }) => chance * 20);
  const times = exact.map(Math.floor);
  const byRemainder = exact.map((value, i) => ({ i, left: value - Math.floor(value) })).sort((a, b) => b.left - a.left);
  const missing = 20 - times.reduce((sum, one) => sum + one, 0);
  for (const { i } of byRemainder.slice(0, missing)) times[i] = (times[i] ?? 0) + 1;
  return chances
    .map(({ passes, orMore }, i) => ({ passes, label: orMore ? `${passes}+` : `${passes}`, times: times[i] ?? 0 }))
    .filter((one) => one.times > 0);
}

function inWords(parts: readonly Twentieth[]): string {
  return parts
    .map(({ label, times }, i) => `${label}${i === 0 ? (label === '1' ? ' pass' : ' passes') : ''} in ${times}`)
    .join(', ');
}

function passCount({ passes, orMore }: PassChance): string {
  if (orMore) return `${passes} or more`;
  return passes === 1 ? '1 pass' : `${passes} passes`;
}

function tableOf({ sections }: GivenEstimate, names: readonly string[], formats: Formats) {
  const counts = sections[0]?.passesNeeded ?? [];
  return {
    columns: ['Part', ...counts.map(passCount), 'Mean passes'],
    rows: sections.map(({ passesNeeded, meanPassesNeeded }, i) => [
      names[i] ?? '',
      ...passesNeeded.map(({ chance }) => formats.number(chance * 100)),
      formats.number(meanPassesNeeded, 1),
    ]),
  };
}
