import type { Difference, GivenEstimate } from '../insight/given-estimate.ts';
import { NumbersTable } from './figure.tsx';
import { chanceText, signed, withSign } from './findings-words.ts';
import type { Formats } from './format.ts';

/** The same job done another way, against the plan. Nothing where none was asked for. */
export function Alternatives({ estimate, formats }: { estimate: GivenEstimate; formats: Formats }) {
  const { alternatives } = estimate;
  if (alternatives.length === 0) return null;
  const known = new Set(estimate.cautions.map(({ id }) => id));
  const table = {
    columns: ['Done this way', 'price', 'against the plan', 'hours', 'passes a part', 'drying, h'],
    rows: alternatives.map((one) => [
      one.label,
      formats.money(one.price),
      withSign(one.priceDifference, formats.money),
      difference(one.labourHours, formats),
      difference(one.passes, formats),
      difference(one.dryHours, formats),
    ]),
  };
  return (
    <section>
      <h2>Another way</h2>
      <NumbersTable
        caption="What changes against the plan for the same vehicle; ranges hold nine times in ten"
        table={table}
      />
      <ul class="soft">
        {alternatives.map((one) => (
          <li>
            {one.label}: the same vehicle takes less work this way with a chance of{' '}
            {chanceText(one.labourHours.chanceLess, formats)}, and is dry sooner with one of{' '}
            {chanceText(one.dryHours.chanceLess, formats)}.
            {one.cautions.filter(({ id }) => !known.has(id)).map(({ text }) => ` ${text}`)}
          </li>
        ))}
      </ul>
    </section>
  );
}

function difference({ p05, p50, p95 }: Difference, formats: Formats): string {
  const plain = (value: number) => signed(value, 1, formats);
  // Whole, or on a line of its own.
  return `${plain(p50)} (${plain(p05)} to ${plain(p95)})`.replace(/ (?!\()/g, '\u00a0');
}
