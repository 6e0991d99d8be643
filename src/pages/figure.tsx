import { raw } from 'hono/html';
import type { Child } from 'hono/jsx';
import { type ChartOptions, chart } from './chart.ts';

export interface FigureTable {
  readonly columns: readonly string[];
  /** One row a line, its first cell the line's name. */
  readonly rows: readonly (readonly string[])[];
  /** The same as a file, where there is one. */
  readonly csv?: string | undefined;
}

interface FigureProps {
  readonly title: string;
  /** What the picture shows, in words: for whoever does not see it. */
  readonly alternative: string;
  readonly options: ChartOptions;
  readonly table: FigureTable;
  /** What the marks mean, where that has to be said. */
  readonly children?: Child;
}

/** A picture with its title, its meaning in words, and its numbers. */
export function Figure({ title, alternative, options, table, children }: FigureProps) {
  return (
    <figure>
      <figcaption>{title}</figcaption>
      <div class="picture">{raw(chart(alternative, options))}</div>
      {children && <div class="legend">{children}</div>}
      <details>
        <summary>The numbers</summary>
        <NumbersTable caption={title} table={table} />
      </details>
    </figure>
  );
}

interface NumbersProps {
  readonly caption: string;
  readonly table: FigureTable;
  /** Of narrow columns that are compared line by line: it stays a table on a phone. */
  readonly whole?: boolean;
}

/** Numbers as a table. On a phone a wide one becomes a block a line, each figure beside its name. */
export function NumbersTable({ caption, table: { columns, rows, csv }, whole = false }: NumbersProps) {
  const folds = !whole && columns.length > mostOnPhone;
  return (
    <>
      <section class="scroll" tabindex={0} aria-label={caption}>
        <table class={folds ? 'folds' : undefined}>
          <caption>{caption}</caption>
          <thead>
            <tr>
              {columns.map((column) => (
                <th scope="col">{column}</th>
              ))}
            </tr>
          </thead>
          <tbody>
            {rows.map(([first, ...rest]) => (
              <tr>
                <th scope="row">{first}</th>
                {rest.map((cell, i) => (
                  <td data-label={folds ? columns[i + 1] : undefined}>{cell}</td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </section>
      {csv && (
        <p class="alone">
          <a href={csv} download>
            These numbers as CSV
          </a>
        </p>
      )}
    </>
  );
}

const mostOnPhone = 3;
