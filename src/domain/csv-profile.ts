import { readAmount } from './csv-amounts.ts';
import type { CsvRow } from './csv-rows.ts';
import { isInstant, readDay } from './csv-when.ts';

/** What is in a file, as far as the choice of its columns needs it. */
export interface CsvProfile {
  readonly header: readonly string[];
  readonly rows: number;
  readonly lastLine: number;
  readonly columns: readonly ColumnProfile[];
}

export interface ColumnProfile {
  /** The first different contents, in the file's order. */
  readonly words: readonly string[];
  /** How many cells hold each of them. */
  readonly counts?: readonly number[];
  /** There are more than those. */
  readonly more: boolean;
  /** How many cells hold anything; of those, how many a number, one with a decimal comma, a day. */
  readonly filled: number;
  readonly numbers: number;
  readonly commas: number;
  readonly days: number;
  /** How many days can only be read with the day, or with the month, ahead. */
  readonly dayFirst: number;
  readonly monthFirst: number;
}

export const mostColumns = 300;
const mostWords = 200;
const longestWord = 120;

/** Reads the rows once, the header first. */
export async function profileOf(rows: AsyncIterable<CsvRow>): Promise<CsvProfile | undefined> {
  let header: readonly string[] | undefined;
  let [count, lastLine] = [0, 0];
  const counters: ColumnCounter[] = [];
  for await (const { line, cells } of rows) {
    if (!header) {
      header = cells.slice(0, mostColumns + 1).map(short);
      for (const _ of header) counters.push(new ColumnCounter());
      continue;
    }
    count += 1;
    lastLine = line;
    counters.forEach((counter, i) => {
      counter.see(cells[i] ?? '');
    });
  }
  return header && { header, rows: count, lastLine, columns: counters.map((counter) => counter.profile()) };
}

/** Columns say the same again and again. */
const mostKinds = 2000;

function kindOf(text: string) {
  const byPoint = readAmount(text, 'point') !== undefined;
  const isComma = !byPoint && readAmount(text, 'comma') !== undefined;
  const [dayFirst, monthFirst] = [readDay(text, 'day-month'), readDay(text, 'month-day')];
  return {
    isNumber: byPoint || isComma,
    isComma,
    isDay: dayFirst !== undefined || monthFirst !== undefined || isInstant(text),
    isDayFirst: dayFirst !== undefined && monthFirst === undefined,
    isMonthFirst: monthFirst !== undefined && dayFirst === undefined,
  };
}

class ColumnCounter {
  readonly #kinds = new Map<string, ReturnType<typeof kindOf>>();
  readonly #words = new Map<string, number>();
  #more = false;
  #filled = 0;
  #numbers = 0;
  #commas = 0;
  #days = 0;
  #dayFirst = 0;
  #monthFirst = 0;

  see(cell: string): void {
    const text = cell.trim();
    if (text === '') return;
    this.#filled += 1;
    const kind = this.#kinds.get(text) ?? kindOf(text);
    if (this.#kinds.size < mostKinds) this.#kinds.set(text, kind);
    this.#keep(text);
    if (kind.isNumber) this.#numbers += 1;
    if (kind.isComma) this.#commas += 1;
    if (kind.isDay) this.#days += 1;
    if (kind.isDayFirst) this.#dayFirst += 1;
    if (kind.isMonthFirst) this.#monthFirst += 1;
  }

  profile(): ColumnProfile {
    return {
      words: [...this.#words.keys()],
      counts: [...this.#words.values()],
      more: this.#more,
      filled: this.#filled,
      numbers: this.#numbers,
      commas: this.#commas,
      days: this.#days,
      dayFirst: this.#dayFirst,
      monthFirst: this.#monthFirst,
    };
  }

  #keep(text: string): void {
    const word = storable(text);
    const before = this.#words.get(word);
    if (before !== undefined || (this.#words.size < mostWords && text.length <= longestWord))
      this.#words.set(word, (before ?? 0) + 1);
    else this.#more = true;
  }
}

/** What PostgreSQL's text can hold. */
function storable(text: string): string {
  return text.replace(/\0|\p{Surrogate}/gu, '\uFFFD');
}

function short(text: string): string {
  return storable(text.trim().slice(0, longestWord));
}
