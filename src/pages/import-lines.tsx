import type { Formats } from './format.ts';

/** What is said of a line of the file: a cell a heading. */
interface SaidOfLine {
  readonly line: number;
  readonly cells: readonly string[];
}

/** The first lines alone: whoever has more to mend begins with these. */
export const mostShown = 300;

/** Lines of a file, each with what is said of it. On a phone every cell but the last, which explains itself, carries its heading. */
export function LineTable(props: {
  readonly label: string;
  readonly headings: readonly string[];
  readonly lines: readonly SaidOfLine[];
  readonly formats: Formats;
}) {
  const { label, headings, lines, formats } = props;
  return (
    <section class="scroll" tabindex={0} aria-label={label}>
      <table class="import-problems folds">
        <thead>
          <tr>
            <th scope="col">Line</th>
            {headings.map((heading) => (
              <th scope="col" class="words">
                {heading}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {lines.slice(0, mostShown).map(({ line, cells }) => (
            <tr>
              <th scope="row" data-label="Line">
                {formats.number(line)}
              </th>
              {cells.map((cell, i) => (
                <td class="words" data-label={i < cells.length - 1 ? headings[i] : undefined}>
                  {cell}
                </td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}
