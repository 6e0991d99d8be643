import type { PlannedJobInput } from '../domain/planned.ts';
import type { GivenEstimate } from '../insight/given-estimate.ts';
import { promise } from './desk-words.ts';
import type { Formats } from './format.ts';
import { areaWords, headingFor, wordsFor } from './words.ts';

interface CustomerProps {
  readonly shopName: string;
  readonly estimate: GivenEstimate;
  readonly plan: PlannedJobInput;
  readonly formats: Formats;
}

/**
 * What the customer takes along: the work, the price, the return. Nothing of the inside: no hours, no rate, nobody's
 * name, no likelihoods but the one that the return time rests on.
 */
export function ForCustomer({ shopName, estimate, plan, formats }: CustomerProps) {
  return (
    <article class="for-customer">
      <p class="ways-on no-print">
        <button type="button" data-print hidden>
          Print
        </button>
        <a href={`/estimate/${estimate.id}`}>Back to the estimate</a>
      </p>
      <p>
        {shopName}, {formats.date(new Date(estimate.madeAt))}
      </p>
      <h2>What we do</h2>
      <p>
        Cleaning of the cloth interior of a {wordsFor(plan.bodyStyle)}
        {plan.modelYear === undefined ? '' : ` of ${plan.modelYear}`}
        {plan.seatsRemoved ? ', its seats taken out for the work' : ''}:
      </p>
      <ul>
        {plan.sections.map(({ area, count, fabric, method }) => (
          <li>
            {headingFor(areaWords(area, count ?? 1))}, {wordsFor(fabric)}: {methodWords[method]}
          </li>
        ))}
      </ul>
      <h2>What it costs</h2>
      <p class="answer">{formats.money(estimate.quote.price)}</p>
      <h2>When it is ready</h2>
      <Return estimate={estimate} formats={formats} />
      <h2>Good to know</h2>
      <ul>
        {advice(estimate).map((line) => (
          <li>{line}</li>
        ))}
      </ul>
      <p class="soft">
        This is an estimate, not a bill: what comes to light during the work can change it. Estimate {estimate.id}.
      </p>
    </article>
  );
}

/** Source: EPA and CDC guidance that wet materials dried within 24 to 48 hours mostly grow no mould. */
const mouldHours = 48;

/** No time is named that would come after the cloth can have gone mouldy: then the drying is to be planned otherwise. */
function Return({ estimate: { readyBy, dryHours }, formats }: Pick<CustomerProps, 'estimate' | 'formats'>) {
  if (readyBy === null || dryHours.p90 > mouldHours)
    return <p>As soon as day and drying are planned, we name the time.</p>;
  return (
    <p>
      We expect it dry and ready by <b>{promise(readyBy, formats)}</b>: of ten such vehicles nine are. Cloth dries in
      its own time, and a damp one is not handed back. Where that is outside our opening hours, it is ready when we open
      next.
    </p>
  );
}

/** Common practice, no source; the hours for mould are public health guidance. */
function advice({ cautions }: GivenEstimate): string[] {
  const slow = cautions.some(({ id }) => id.startsWith('mould'));
  return [
    'If the cloth still feels damp, let air through: windows a little open, in a dry place. Do not cover it.',
    'A stain can rise again from the foam some days later, or a ring or smell can show. Come back then: it is part of such work, and better treated early.',
    ...(slow
      ? ['Cloth that stays wet for more than 24 to 48 hours can grow mould. If it is still damp after a day, tell us.']
      : []),
    'Not every stain comes out, and old or worn cloth can lose some colour or nap.',
  ];
}

const methodWords: Readonly<Record<PlannedJobInput['sections'][number]['method'], string>> = {
  spot: 'spots cleaned by hand',
  extraction: 'washed through and drawn off by machine',
  'spot-then-extraction': 'spots by hand, then washed through and drawn off by machine',
};
