/** What the pages on trust say of models, months, shares and scores. */
import type { ModelName } from '../domain/doubts.ts';
import type { Range } from '../insight/range.ts';
import type { Formats } from './format.ts';

export const figureNames: Readonly<Record<ModelName, string>> = {
  passes: 'Passes',
  labour: 'Hours',
  water: 'Water left in',
  drying: 'Drying time',
};

/** 2025-03 as "Mar 2025". */
export function monthName(month: string): string {
  const [year = '', number = '1'] = month.split('-');
  return `${shortMonths[Number(number) - 1] ?? number} ${year}`;
}

/** The same for under a picture: "Mar", the year with each January and where a picture begins. */
export function monthTick(month: string, isFirst: boolean): string {
  const [year = '', number = '1'] = month.split('-');
  const name = shortMonths[Number(number) - 1] ?? number;
  return isFirst || number === '01' ? `${name} ${year.slice(2)}` : name;
}

const shortMonths = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'];

/** A model's mean score in its own unit; drying, known by its checks alone, has points: see `offByWords`. */
export function scoreText(model: ModelName, score: number | null, formats: Formats): string {
  if (score === null) return '–';
  if (model === 'labour') return `${formats.number(score, 2)} h`;
  if (model === 'water') return formats.quantity('litresPerM2', score);
  return `${formats.number(score, 3)} ${model === 'drying' ? 'points' : 'passes'}`;
}

/** What the points are: the Brier score of each check until the first dry one, given what those before it had shown. */
export const offByWords =
  '“Off by” counts how far the middle was from what came and how wide the range was; less is better, 0 would be perfect. Passes, hours and water are told in their own units. Drying is known by its checks alone and so has points: a check costs 0 where its answer, dry or wet, was forecast for sure, 1 where the other answer was, 0.25 where both were as likely; the points of a job’s checks are added.';

/** By how much the middle of a forecast missed, on average. */
export function missText(model: ModelName, miss: number | null, formats: Formats): string {
  if (miss === null) return 'not known exactly';
  return model === 'passes' ? `${formats.number(miss, 2)} passes` : scoreText(model, miss, formats);
}

/** What came less what was forecast, signed. */
export function biasText(model: ModelName, bias: number | null, formats: Formats): string {
  if (bias === null) return '–';
  const size = Math.abs(bias);
  if (size < 0.005) return 'as forecast';
  return `${missText(model, size, formats)} ${bias > 0 ? 'more' : 'less'} than forecast`;
}

/** Per cent with its 90 % range: "20 % (14 % to 26 %)". */
export function percentRange(range: Range | null, formats: Formats): string {
  if (range === null) return '–';
  const [low, middle, high] = [range.p05, range.p50, range.p95].map((value) =>
    formats.share((Math.round(value) + 0) / 100),
  ); // no "-0 %"
  return `${middle} (${low} to ${high})`;
}
