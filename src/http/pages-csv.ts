import type { PageContext } from './pages-env.ts';
import { pageHeaders } from './pages-show.tsx';
import { csvText } from './records-csv-text.ts';
import type { Table } from './report-tables.ts';

/** The numbers of a page as a file for a spreadsheet. */
export function csvFile(c: PageContext, name: string, table: Table): Response {
  return c.body(csvText(table), 200, {
    ...pageHeaders,
    'Content-Type': 'text/csv; charset=utf-8',
    'Content-Disposition': `attachment; filename="${name}.csv"`,
  });
}
