import type { ModelName } from '../domain/doubts.ts';
import { modelNames } from '../models/shop-fit.ts';
import { holdsPlainly, type ModelRecord, nothingScored, type RangesHold, type TrackRecord } from './track-record.ts';

/** What each model forecasts, as it stands in the middle of a sentence. */
export const figureWords: Readonly<Record<ModelName, string>> = {
  passes: 'passes',
  labour: 'hours',
  water: 'water left in',
  drying: 'drying time',
};

/** How far these figures can be trusted, in one sentence. */
export function trackSentence({ models }: Pick<TrackRecord, 'models'>): string {
  const hours = models.find(({ model }) => model === 'labour')?.outcomes ?? 0;
  if (models.every(({ outcomes }) => outcomes === 0)) return nothingScored;
  const judged = models.filter(({ ranges }) => ranges !== 'nothing seen' && ranges !== 'too few to tell');
  if (judged.length === 0)
    return `Only ${hours} ${hours === 1 ? 'job has' : 'jobs have'} been forecast before ${hours === 1 ? 'it was' : 'they were'} seen: too few to say how far these figures can be trusted.`;
  return `On ${hours} jobs forecast before they were seen, ${rangeClause(judged)}, and ${gainClause(judged)}.`;
}

function rangeClause(models: readonly ModelRecord[]): string {
  const having = (ranges: RangesHold) => models.filter((one) => one.ranges === ranges);
  const [narrow, wide] = [having('too narrow'), having('too wide')];
  if (narrow.length + wide.length === 0) {
    const about = models.every(({ inside80 }) => holdsPlainly(inside80)) ? '' : 'about ';
    return `the 80 % ranges held ${about}four times in five for ${listed(models)}`;
  }
  const parts = [
    narrow.length > 0 ? `the ranges were too narrow for ${listed(narrow)}` : '',
    wide.length > 0 ? `the ranges were wider than they need be for ${listed(wide)}` : '',
  ];
  return parts.filter((part) => part !== '').join(' and ');
}

function gainClause(models: readonly ModelRecord[]): string {
  const better = models.filter(({ gainPercent }) => gainPercent !== null && gainPercent.p05 > 0);
  const worse = models.filter(({ gainPercent }) => gainPercent !== null && gainPercent.p95 < 0);
  const beaten =
    better.length === 0
      ? 'none was closer than the rule of thumb beyond doubt'
      : `${better.length === models.length ? 'each was' : `${listed(better)} were`} closer than the rule of thumb`;
  return worse.length === 0 ? beaten : `${beaten}, while ${listed(worse)} were further off`;
}

function listed(models: readonly ModelRecord[]): string {
  if (models.length === modelNames.length) return 'all four figures';
  const names = models.map(({ model }) => figureWords[model]);
  return names.length < 2 ? names.join('') : `${names.slice(0, -1).join(', ')} and ${names.at(-1)}`;
}
