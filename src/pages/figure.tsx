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

/** A table that scrolls in its own box where the screen is too narrow. */
export function NumbersTable({ caption, table: { columns, rows, csv } }: { caption: string; table: FigureTable }) {
  return (
    <>
      <section class="scroll" tabindex={0} aria-label={caption}>
        <table>
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
                {rest.map((cell) => (
                  <td>{cell}</td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </section>
      {csv && (
        <p>
          <a href={csv} download>
            These numbers as CSV
          </a>
        </p>
      )}
    </>
  );
}
