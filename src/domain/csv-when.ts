import { instantOfClock, zonedMinute } from './zoned-time.ts';

export type DayOrder = 'day-month' | 'month-day';

/** A day as a cell tells it, and the time behind it where there is one. */
interface CellDay {
  readonly day: string;
  readonly time?: string | undefined;
}

/** The cell's day and time of day; undefined where it is no day in this order. Years come first or in full or as two digits. */
export function readDay(cell: string, order: DayOrder): CellDay | undefined {
  const found = yearFirst.exec(cell) ?? yearLast.exec(cell) ?? dayNamed.exec(cell) ?? monthNamed.exec(cell);
  const { groups } = found ?? {};
  if (!groups) return undefined;
  const { year = '', first = '', second = '', name, rest = '' } = groups;
  const time = rest.trim() === '' ? undefined : readTime(rest);
  if (rest.trim() !== '' && time === undefined) return undefined;
  const named = name === undefined ? undefined : monthOf(name);
  if (name !== undefined && named === undefined) return undefined;
  const dayFirst = order === 'day-month' && groups.yearFirst === undefined;
  const [month, date] = named !== undefined ? [named, first] : dayFirst ? [second, first] : [first, second];
  const day = dayOf(year, String(month), date);
  return day === undefined ? undefined : { day, time };
}

/** The cell's time of day as HH:MM. */
export function readTime(cell: string): string | undefined {
  const { groups } =
    /^(?<hour>\d{1,2})[:.h](?<minute>\d\d)(:\d\d(\.\d+)?)?\s*(?<half>[ap])?\.?m?\.?$/i.exec(cell.trim()) ?? {};
  if (!groups) return undefined;
  const half = groups.half?.toLowerCase();
  const told = Number(groups.hour);
  if (half !== undefined && (told < 1 || told > 12)) return undefined;
  const hour = half === undefined ? told : (told % 12) + (half === 'p' ? 12 : 0);
  const minute = groups.minute ?? '';
  return hour < 24 && minute < '60' ? `${String(hour).padStart(2, '0')}:${minute}` : undefined;
}

/** Whether the cell tells its offset itself, as ours does. */
export function isInstant(cell: string): boolean {
  return /^\d{4}-\d\d-\d\dT\d\d:\d\d(:\d\d(\.\d+)?)?(Z|[+-]\d\d:\d\d)$/i.test(cell);
}

/** The instant of a local day and time on the shop's clock, as RFC 3339. */
export function instantText(local: string, timeZone: string): string | undefined {
  const instant = instantOfClock(local, timeZone);
  return instant && zonedMinute(instant, timeZone);
}

const rest = '(?<rest>([T ]\\s*|,\\s*)\\d.*)?';
const yearFirst = new RegExp(`^(?<yearFirst>(?<year>\\d{4}))[-/.](?<first>\\d{1,2})[-/.](?<second>\\d{1,2})${rest}$`);
const yearLast = new RegExp(`^(?<first>\\d{1,2})[-/.](?<second>\\d{1,2})[-/.](?<year>\\d{4}|\\d{2})${rest}$`);
const dayNamed = new RegExp(`^(?<first>\\d{1,2})[- .]+(?<name>[A-Za-z]{3,9})[- .,]+(?<year>\\d{4}|\\d{2})${rest}$`);
const monthNamed = new RegExp(`^(?<name>[A-Za-z]{3,9})[- .]+(?<first>\\d{1,2})[- .,]+(?<year>\\d{4})${rest}$`);

const months = ['jan', 'feb', 'mar', 'apr', 'may', 'jun', 'jul', 'aug', 'sep', 'oct', 'nov', 'dec'];

function monthOf(name: string): number | undefined {
  const at = months.indexOf(name.slice(0, 3).toLowerCase());
  return at < 0 ? undefined : at + 1;
}

/** Two digits are of this century: records begin in 2000. */
function dayOf(year: string, month: string, date: string): string | undefined {
  const day = `${year.length === 2 ? `20${year}` : year}-${month.padStart(2, '0')}-${date.padStart(2, '0')}`;
  const read = new Date(`${day}T00:00:00Z`);
  return Number.isNaN(read.getTime()) || read.toISOString().slice(0, 10) !== day ? undefined : day;
}
