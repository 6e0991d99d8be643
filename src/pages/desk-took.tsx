import type { GivenEstimate } from '../insight/given-estimate.ts';
import type { DryTook, PartTook, Place, Took } from '../insight/what-it-took.ts';
import { eightOfTen } from './desk-words.ts';
import { NumbersTable } from './figure.tsx';
import type { Formats } from './format.ts';
import { areaWords, headingFor } from './words.ts';

interface WhatItTookProps {
  readonly took: Took;
  readonly estimate: GivenEstimate;
  readonly formats: Formats;
}

/** What was said beside what it took, figure by figure. */
export function WhatItTook({ took, estimate, formats }: WhatItTookProps) {
  const { hours, dry, waterLitres, parts } = took;
  const { labourHours, quote, dryHours, waterLitres: water } = estimate;
  const two = (value: number) => `${formats.number(value, 2)} h`;
  const rows = [
    ['Work, person-hours', eightOfTen(labourHours, formats), two(hours.took), placeWords[hours.place]],
    ['Hours quoted', two(quote.hours), two(hours.took), hours.overQuote ? 'ran over' : 'held'],
    ...parts.map((part) => passesRow(part, formats)),
    ...(dry ? [['Dry after the work', eightOfTen(dryHours, formats), dryWords(dry, formats), dryPlace(dry)]] : []),
    ...(waterLitres
      ? [
          [
            'Water left in, all parts',
            formats.quantityRange('litres', water.p10, water.p90),
            formats.quantity('litres', waterLitres.took),
            placeWords[waterLitres.place],
          ],
        ]
      : []),
  ];
  return (
    <section>
      <h2>What it took</h2>
      <p class="answer">{answer(took, formats)}</p>
      <NumbersTable
        caption="What was said for 8 of 10 such jobs, and what this one took"
        table={{ columns: ['Figure', 'said', 'took', 'so it was'], rows }}
      />
    </section>
  );
}

function answer({ ref, finishedAt, hours, dry }: Took, formats: Formats): string {
  const work = `Job ${ref}, done ${formats.dateTime(finishedAt)}, took ${formats.number(hours.took, 2)} h: ${
    hours.overQuote ? 'more than' : 'within'
  } the hours quoted.`;
  if (dry?.dryAt === undefined) return `${work} Nobody has found it dry yet.`;
  const at = new Date(finishedAt.getTime() + dry.dryAt * 3_600_000);
  return `${work} Found dry ${formats.dateTime(at)}.`;
}

function passesRow({ area, count, passes, gaveUp, chance }: PartTook, formats: Formats): string[] {
  const name = `${headingFor(areaWords(area, count))}, passes`;
  if (gaveUp) return [name, '–', `${passes}`, 'stopped before it was clean'];
  if (chance === undefined) return [name, 'not planned', `${passes}`, ''];
  return [
    name,
    `${passes} in ${formats.number(chance * 100)} of 100`,
    `${passes}`,
    chance < 0.05 ? 'seldom' : 'foreseen',
  ];
}

function dryWords({ wetAt, dryAt }: DryTook, formats: Formats): string {
  const hours = (value: number) => formats.number(value, 1);
  if (dryAt === undefined) return `more than ${hours(wetAt ?? 0)} h`;
  return wetAt === undefined ? `up to ${hours(dryAt)} h` : `${hours(wetAt)} to ${hours(dryAt)} h`;
}

function dryPlace({ place }: DryTook): string {
  return place === undefined ? 'the checks leave it open' : placeWords[place];
}

const placeWords: Readonly<Record<Place, string>> = {
  below: 'less than said',
  inside: 'as said',
  above: 'more than said',
};
