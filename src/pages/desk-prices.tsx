import { soils } from '../domain/vocabulary.ts';
import type { ListPrice } from '../insight/quotes/price-list.ts';
import { oneIn } from './desk-words.ts';
import { NumbersTable } from './figure.tsx';
import type { Formats } from './format.ts';
import { headingFor } from './words.ts';

interface PriceListProps {
  readonly prices: readonly ListPrice[];
  readonly risk: number;
  readonly formats: Formats;
}

/** Prices to print for the desk: a table for each scope of work, body style by soil. */
export function PriceList({ prices, risk, formats }: PriceListProps) {
  const scopes = [...new Set(prices.map(({ cleaned }) => cleaned))];
  const share = prices.reduce((sum, one) => sum + one.evidenceShare, 0) / Math.max(1, prices.length);
  return (
    <div class="prices">
      <p>
        Flat-woven cloth, extracted, by whoever is free. Runs over the hours behind its price: {oneIn(risk)} such jobs.{' '}
        {share < 0.005
          ? 'All of it is rule of thumb: our own jobs move it once they are recorded.'
          : `On average ${formats.share(share)} from our own jobs, the rest rule of thumb.`}
      </p>
      <p class="ways-on no-print">
        <button type="button" data-print hidden>
          Print
        </button>
        <a href="/price-list.csv" download>
          As CSV, with the hours
        </a>
      </p>
      {scopes.map((scope) => (
        <NumbersTable
          whole
          caption={headingFor(scope)}
          table={tableOf(
            prices.filter(({ cleaned }) => cleaned === scope),
            formats,
          )}
        />
      ))}
    </div>
  );
}

function tableOf(prices: readonly ListPrice[], formats: Formats) {
  const styles = [...new Set(prices.map(({ bodyStyle }) => bodyStyle))];
  const price = (style: string, soil: string) => {
    const found = prices.find((one) => one.bodyStyle === style && one.soil === soil);
    return found ? formats.money(found.price) : '';
  };
  return {
    columns: ['Soil', ...soils.map(headingFor)],
    rows: styles.map((style) => [headingFor(style), ...soils.map((soil) => price(style, soil))]),
  };
}
