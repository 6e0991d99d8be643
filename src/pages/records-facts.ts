import type { DryingCheck, FinishedJob, Section } from '../domain/record.ts';
import type { Formats } from './format.ts';
import type { Quantity } from './measures.ts';
import { extractorInWords, nameIn, type ShopLists } from './records-words.ts';
import { areaWords, headingFor, wordsFor } from './words.ts';

/** What is needed to tell a record as people of this shop do. */
export interface Telling {
  readonly lists: ShopLists;
  readonly formats: Formats;
}

/** Facts of a record that belong together. Groups of one key in two versions are the same thing. */
export interface FactGroup {
  readonly key: string;
  readonly title: string;
  readonly facts: readonly Fact[];
}

export interface Fact {
  /** As within a sentence: without a capital, unless it is a name. */
  readonly label: string;
  /** In the shop's words and units. */
  readonly says: string;
  /** As stored: two that say the same may differ by less than is shown. */
  readonly stored: unknown;
}

/** All that a record holds, group by group; what was not noted is left out. */
export function factsOf(job: FinishedJob, telling: Telling): FactGroup[] {
  const groups = [
    { key: 'work', title: 'The work', facts: workFacts(job, telling) },
    { key: 'people', title: 'Who worked on it', facts: peopleFacts(job, telling) },
    ...job.sections.map((section, i) => sectionGroup(section, placeAmongLike(job.sections, i), telling)),
    { key: 'solution', title: 'Solution and water', facts: waterFacts(job, telling) },
    { key: 'drying', title: 'Drying', facts: dryingFacts(job, telling) },
    { key: 'quoted', title: 'What was quoted', facts: quotedFacts(job, telling) },
    { key: 'outcome', title: 'How it came out', facts: outcomeFacts(job) },
  ];
  return groups.filter(({ facts }) => facts.length > 0);
}

type Unset = readonly [label: string, stored: unknown, says: string];

function noted(facts: readonly Unset[]): Fact[] {
  return facts.flatMap(([label, stored, says]) => (stored === undefined ? [] : [{ label, stored, says }]));
}

function workFacts(job: FinishedJob, { lists, formats }: Telling): Fact[] {
  const { finishedAt, bodyStyle, modelYear, seatsRemoved, extractor, finalVacuum } = job;
  const ended = new Date(finishedAt);
  return noted([
    ['ended', finishedAt, `${formats.date(ended)}, ${formats.time(ended)}`],
    ['body style', bodyStyle, wordsFor(bodyStyle)],
    ['model year', modelYear, `${modelYear}`],
    ['seats', seatsRemoved, seatsRemoved ? 'taken out' : 'left in'],
    ['extractor', extractor, extractorInWords(job, lists)],
    ['last vacuum round', finalVacuum, finalVacuum ? 'yes' : 'no'],
  ]);
}

function peopleFacts({ labour }: FinishedJob, { lists, formats }: Telling): Fact[] {
  return labour.map(({ technician, minutes }) => ({
    label: nameIn(lists.technicians, technician),
    stored: minutes,
    says: formats.hours(minutes / 60),
  }));
}

/** The first of its area is no 0, so that a part keeps its key when another comes or goes. */
function placeAmongLike(sections: readonly Section[], i: number): number {
  return sections.slice(0, i).filter(({ area }) => area === sections[i]?.area).length;
}

function sectionGroup(section: Section, place: number, telling: Telling): FactGroup {
  const { area, count } = section;
  return {
    key: `${area} ${place}`,
    title: `${headingFor(areaWords(area, count))}${place === 0 ? '' : `, part ${place + 1}`}`,
    facts: sectionFacts(section, telling),
  };
}

function sectionFacts(section: Section, { lists, formats }: Telling): Fact[] {
  const { count, fabric, soil, stains, method, brush, wetPasses, spotRounds, dryPasses, technician, result } = section;
  return noted([
    ['pieces', count, `${count}`],
    ['fabric', fabric, wordsFor(fabric)],
    ['soil', soil, wordsFor(soil)],
    ['stains', stains.length === 0 ? undefined : stains, stains.map(wordsFor).join(', ')],
    ['method', method, wordsFor(method)],
    ['brush', brush, wordsFor(brush ?? '')],
    [method === 'spot' ? 'rounds of spray and wipe' : 'wet passes', wetPasses, `${wetPasses}`],
    ['spot rounds', spotRounds, `${spotRounds}`],
    ['dry passes', dryPasses, `${dryPasses}`],
    quantity('surface', 'surfaceM2', section.surfaceM2, formats),
    quantity('sprayed on it', 'litres', section.sprayedLitres, formats),
    quantity('got back from it', 'litres', section.recoveredLitres, formats),
    ['worked by', technician, nameIn(lists.technicians, technician ?? '')],
    ['came out', result, wordsFor(result)],
  ]);
}

function waterFacts(
  { dilution, solutionC, sprayedLitres, recoveredLitres }: FinishedJob,
  { formats }: Telling,
): Fact[] {
  return noted([
    ['water to concentrate', dilution, `${dilution} to 1`],
    quantity('solution in the tank', 'celsius', solutionC, formats),
    quantity('sprayed in all', 'litres', sprayedLitres, formats),
    quantity('got back in all', 'litres', recoveredLitres, formats),
  ]);
}

function dryingFacts({ drying = { checks: [] } }: FinishedJob, { formats }: Telling): Fact[] {
  const { aid, airC, rhPercent, airSpeedMs, checks } = drying;
  return noted([
    ['dried by', aid, wordsFor(aid ?? '')],
    quantity('air', 'celsius', airC, formats),
    ['humidity', rhPercent, `${rhPercent} %`],
    quantity('air speed', 'airSpeedMs', airSpeedMs, formats),
    ...checks.map((check) => checkFact(check, formats)),
  ]);
}

function checkFact({ hours, dry }: DryingCheck, formats: Formats): Unset {
  return [`checked ${formats.hours(hours)} after`, `${hours} ${dry}`, dry ? 'dry' : 'still wet'];
}

function quotedFacts({ quoted = {} }: FinishedJob, { formats }: Telling): Fact[] {
  const { hours, price, estimate } = quoted;
  return noted([
    ['hours', hours, formats.hours(hours ?? 0)],
    ['price', price, formats.money(price ?? 0)],
    ['by an estimate made here', estimate, estimate?.slice(0, 8) ?? ''],
  ]);
}

function outcomeFacts({ outcome = {}, note }: FinishedJob): Fact[] {
  const { handover, comeback, damage } = outcome;
  return noted([
    ['at the handover', handover, wordsFor(handover ?? '')],
    ['came back with', comeback, wordsFor(comeback ?? '')],
    ['damage', damage, wordsFor(damage ?? '')],
    ['note', note, note ?? ''],
  ]);
}

function quantity(label: string, kind: Quantity, si: number | undefined, formats: Formats): Unset {
  return [label, si, si === undefined ? '' : formats.quantity(kind, si)];
}
