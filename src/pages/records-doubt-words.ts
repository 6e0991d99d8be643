import type { Doubt, DoubtRule, ModelName } from '../domain/doubts.ts';
import type { FinishedJob } from '../domain/record.ts';
import { listed } from './desk-plan-words.ts';
import { areaWords, headingFor } from './words.ts';

/** What is hard to believe about a record, and of which part of it, in the words of its pages. */
export function doubtInWords({ rule, pointer }: Doubt, job: FinishedJob): string {
  const place = /^\/sections\/(\d+)/.exec(pointer)?.[1];
  const section = place === undefined ? undefined : job.sections[Number(place)];
  return section === undefined
    ? ruleInWords(rule)
    : `${headingFor(areaWords(section.area, section.count))}: ${ruleInWords(rule)}`;
}

/** The same of a record that is not at hand. */
export function ruleInWords(rule: DoubtRule): string {
  return ruleWords[rule];
}

/** What is not learnt from it, as a sentence; nothing where all is. */
export function leftOutInWords(models: readonly ModelName[]): string {
  return models.length === 0
    ? ''
    : `It is left out of what is learnt on ${listed(models.map((one) => learntOn[one]))}.`;
}

const learntOn: Readonly<Record<ModelName, string>> = {
  passes: 'passes',
  labour: 'hours of work',
  water: 'water left in',
  drying: 'drying',
};

const ruleWords: Readonly<Record<DoubtRule, string>> = {
  'recovered-exceeds-sprayed': 'more water got back than was sprayed.',
  'recovered-without-sprayed': 'water got back is noted, but not how much was sprayed.',
  'litres-on-spot': 'litres are noted for spot work, which no tank reading covers.',
  'extraction-without-extractor': 'something was extracted, but no extractor is named.',
  'clean-without-a-pass': 'it came out clean without a pass.',
  'technician-without-minutes': 'who worked on it has no minutes on this job.',
  'minutes-too-few': 'so few minutes are no extraction job, set-up and all: are they hours?',
};
