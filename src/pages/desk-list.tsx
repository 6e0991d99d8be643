import type { PlannedJobInput } from '../domain/planned.ts';
import type { GivenEstimate } from '../insight/given-estimate.ts';
import type { Took } from '../insight/what-it-took.ts';
import { planInWords } from './desk-plan-words.ts';
import { promise } from './desk-words.ts';
import type { Formats } from './format.ts';
import { capital } from './words.ts';

export interface ListedGiven {
  readonly estimate: GivenEstimate;
  readonly plan: PlannedJobInput;
  readonly took: Took | undefined;
  /** In the currency in which it was given. */
  readonly formats: Formats;
}

interface GivenListProps {
  readonly list: readonly ListedGiven[];
  /** The address of those before, where there are any. */
  readonly older: string | undefined;
}

/** The estimates that were given, the latest first, and what became of each. */
export function GivenList({ list, older }: GivenListProps) {
  if (list.length === 0)
    return (
      <p>
        None yet. <a href="/estimate">Make an estimate</a> and keep it: it then stands here.
      </p>
    );
  return (
    <>
      <ul class="cards">
        {list.map((one) => (
          <li>
            <One {...one} />
          </li>
        ))}
      </ul>
      {older && (
        <p class="alone">
          <a href={older}>Older ones</a>
        </p>
      )}
    </>
  );
}

function One({ estimate, plan, took, formats }: ListedGiven) {
  const { id, madeAt, quote, readyBy } = estimate;
  return (
    <>
      <h2>
        <a href={`/estimate/${id}`}>
          {formats.dateTime(new Date(madeAt))}: {formats.money(quote.price)}
        </a>
      </h2>
      <p>
        {capital(planInWords(plan))}
        {readyBy && `; ready by ${promise(readyBy, formats)}`}
      </p>
      <p class="soft">{became(estimate, took, formats)}</p>
    </>
  );
}

function became({ quote }: GivenEstimate, took: Took | undefined, formats: Formats): string {
  if (took === undefined) return 'No finished job names it yet.';
  const { hours, ref } = took;
  const over = hours.overQuote ? 'over' : 'within';
  return `Job ${ref} took ${formats.number(hours.took, 2)} h, ${over} the ${formats.number(quote.hours, 2)} h quoted.`;
}
