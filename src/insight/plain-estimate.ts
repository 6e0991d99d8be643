import type { Estimate, SectionEstimate } from '../models/estimate.ts';

/** An estimate as a few lines that can be read out: every figure with its unit, its range and how much of it is the shop's own. */
export function plainEstimate(estimate: Estimate): readonly string[] {
  const { labourHours: hours, waterLPerM2: water, dryHours: dry, quote, readyBy } = estimate;
  return [
    ...estimate.sections.map(passesLine),
    `Hours    ${one(hours.p10)} to ${one(hours.p90)} person-hours in 8 of 10 such jobs, middle ${one(hours.p50)}. ${owns(hours)}`,
    `Quote    ${quote.hours.toFixed(2)} h × ${quote.labourRate} + ${quote.materials} materials = ${quote.price} ${quote.currency}; about ${times(quote.risk)} such jobs runs over these hours.`,
    `Water    ${two(water.p10)} to ${two(water.p90)} L/m² left in the wettest part, middle ${two(water.p50)}. ${owns(water)}`,
    `Drying   ${one(dry.p10)} to ${one(dry.p90)} h after the work in 8 of 10, middle ${one(dry.p50)}. ${owns(dry)}`,
    ...(readyBy === null
      ? []
      : [`Ready by ${clock(readyBy.p50)} as likely as not, ${clock(readyBy.p90)} in 9 of 10; work without a break.`]),
    estimate.basis === 'rules of thumb'
      ? 'Basis    rules of thumb alone: no finished job of this shop yet.'
      : `Basis    rules of thumb and ${estimate.jobsLearntFrom} finished jobs.`,
    ...estimate.cautions.map(({ text }) => `Caution  ${text}`),
  ];
}

function passesLine({ area, passesNeeded, meanPassesNeeded, chanceOfGivingUp }: SectionEstimate): string {
  const chances = passesNeeded
    .filter(({ chance }) => chance >= 0.05)
    .map(({ passes, orMore, chance }) => `${passes}${orMore ? ' or more' : ''} in ${inHundred(chance)}`);
  const stop = chanceOfGivingUp >= 0.01 ? `, stopped before clean in ${inHundred(chanceOfGivingUp)}` : '';
  return `Passes   ${area}: of 100 such sections ${chances.join(', ')} (mean ${one(meanPassesNeeded)})${stop}.`;
}

function owns({ evidenceShare }: { readonly evidenceShare: number }): string {
  return `${inHundred(evidenceShare)} % from own jobs, the rest rule of thumb.`;
}

function times(risk: number): string {
  return `1 in ${Number((1 / risk).toFixed(1))}`;
}

/** The day and the clock of an RFC 3339 instant in its own zone. */
function clock(instant: string): string {
  return instant.slice(0, 16).replace('T', ' ');
}

function inHundred(chance: number): number {
  return Math.round(100 * chance);
}

function one(value: number): string {
  return value.toFixed(1);
}

function two(value: number): string {
  return value.toFixed(2);
}
