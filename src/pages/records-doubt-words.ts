import type { Doubt, DoubtRule } from '../domain/doubts.ts';
import type { FinishedJob } from '../domain/record.ts';
import { areaWords, headingFor } from './words.ts';

/** What is hard to believe about a record, and of which part of it, in the words of its pages. */
export function doubtInWords({ rule, pointer }: Doubt, job: FinishedJob): string {
  const place = /^\/sections\/(\d+)/.exec(pointer)?.[1];
  const section = place === undefined ? undefined : job.sections[Number(place)];
  return section === undefined
    ? ruleWords[rule]
    : `${headingFor(areaWords(section.area, section.count))}: ${ruleWords[rule]}`;
}

const ruleWords: Readonly<Record<DoubtRule, string>> = {
  'recovered-exceeds-sprayed': 'more water got back than was sprayed. No forecast of water reads it.',
  'recovered-without-sprayed': 'water got back is noted, but not how much was sprayed.',
  'litres-on-spot': 'litres are noted for spot work, which no tank reading covers. No forecast of water reads them.',
  'extraction-without-extractor': 'something was extracted, but no extractor is named.',
  'clean-without-a-pass': 'it came out clean without a pass. No forecast of passes reads it.',
  'technician-without-minutes': 'who worked on it has no minutes on this job.',
};
