import type { PlannedJob } from '../domain/planned.ts';
import { seatAreas } from '../domain/vocabulary.ts';

/** A usual caution, where it applies, and what in the plan or forecast brought it up. */
export interface Caution {
  readonly id: string;
  readonly text: string;
  readonly because: string;
}

/** Chances, 0 to 1, that the slowest section is still wet after so many hours. */
export interface StillWet {
  readonly after24h: number;
  readonly after48h: number;
}

/** A one-in-twenty chance is near enough to speak of. */
const worthSaying = 0.05;

/** Common practice, no source, save where a text names one. Makers' instructions, local rules and licensed practice come first in all. */
export function cautionsFor(job: PlannedJob, stillWet: StillWet): readonly Caution[] {
  return [
    ...mouldCautions(stillWet),
    ...seats(job),
    ...biohazard(job),
    ...dryingAids(job),
    {
      id: 'products',
      text: 'Read each product’s safety data sheet; gloves, eye protection, fresh air; never mix products. Test for colour loss on a hidden place first.',
      because: 'a cleaning solution goes on cloth',
    },
    {
      id: 'estimate',
      text: 'These figures are estimates from a shop’s records and rules of thumb, no safety advice. Makers’ instructions, local rules and licensed practice come first.',
      because: 'always',
    },
  ];
}

/** Source: EPA and CDC guidance that wet materials dried within 24 to 48 hours mostly grow no mould. */
export function mouldCautions({ after24h, after48h }: StillWet): Caution[] {
  if (after48h >= worthSaying)
    return [
      {
        id: 'mould-48h',
        text: 'This may stay wet past 48 hours, when mould has to be expected: do not hand it back or close it up like this. Take more water out, add warmth and moving dry air, check the foam by meter, or plan it otherwise.',
        because: `still wet after 48 hours in ${inHundred(after48h)} of 100 such jobs`,
      },
    ];
  if (after24h >= worthSaying)
    return [
      {
        id: 'mould-24h',
        text: 'Cloth and foam that stay wet for more than 24 to 48 hours can grow mould (public health guidance). Take out more water and speed the drying.',
        because: `still wet after 24 hours in ${inHundred(after24h)} of 100 such jobs`,
      },
    ];
  return [];
}

function seats({ seatsRemoved, sections }: PlannedJob): Caution[] {
  const touchesSeats = sections.some(({ area }) => seatAreas.some((seat) => seat === area));
  if (!seatsRemoved && !touchesSeats) return [];
  return [
    {
      id: 'seats',
      text: 'Seat-mounted airbags, belts, sensors and heating: follow the vehicle maker’s procedure for this vehicle (battery off, the maker’s waiting time), or leave it to a qualified technician. Never soak connectors or modules.',
      because: seatsRemoved ? 'seats come out' : 'seats are cleaned in place',
    },
  ];
}

function biohazard({ sections }: PlannedJob): Caution[] {
  if (!sections.some(({ stains }) => stains.includes('protein') || stains.includes('pet'))) return [];
  return [
    {
      id: 'biohazard',
      text: 'If a stain is blood, vomit or sewage, or there are needles: that is a biohazard procedure with its own protection and disposal, not a cleaning estimate.',
      because: 'protein or pet stains are planned for',
    },
  ];
}

function dryingAids({ drying }: PlannedJob): Caution[] {
  const aid = drying?.aid;
  if (aid !== 'fan' && aid !== 'dehumidifier' && aid !== 'warm-room') return [];
  return [
    {
      id: 'drying-aids',
      text: 'Leave no heater or fan running unattended; keep cords off wet floors; never run an engine in a closed bay.',
      because: `drying by ${aid}`,
    },
  ];
}

function inHundred(chance: number): number {
  return Math.round(100 * chance);
}
