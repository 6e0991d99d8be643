import { PriceList } from '../pages/desk-prices.tsx';
import type { AppDeps } from './env.ts';
import { csvFile } from './pages-csv.ts';
import { show } from './pages-show.tsx';
import { pricesTable } from './report-tables.ts';
import { newPages, sessionGuard } from './sessions.ts';
import type { Shared } from './shared.ts';

/** The price list: to print, and as a file. */
export function pricePages(deps: AppDeps, { reports }: Pick<Shared, 'reports'>) {
  const guard = sessionGuard(deps)('desk');
  return newPages()
    .get('/price-list', guard, async (c) => {
      const list = await reports.prices(c.get('session').shop.shopId);
      return show(
        c,
        { title: 'Price list', scripts: ['print.js'] },
        <PriceList {...list} formats={c.get('formats')} />,
      );
    })
    .get('/price-list.csv', guard, async (c) => {
      const { prices } = await reports.prices(c.get('session').shop.shopId);
      return csvFile(c, 'price-list', pricesTable(prices));
    });
}
