import type { Machine, Technician } from '../src/domain/lists.ts';
import type { BodyStyle } from '../src/domain/vocabulary.ts';

/** The invented shop. Every name, number and place of this folder is made up; none stands for a real one. */
export const shop = { name: 'Tussockmere Interiors (invented)', timeZone: 'Etc/UTC' } as const;

/** How one person works: what the process needs to know, and no record ever says. */
export interface Habits {
  /** Minutes against the usual ones. */
  readonly pace: number;
  /** Share of a wet pass during which the trigger is held. */
  readonly trigger: number;
  /** Mean suction-only passes after each wet pass. */
  readonly dryPasses: number;
  /** Suction reached against a nozzle held flat and tight. */
  readonly nozzle: number;
  /** Soil, g/m², that still passes for clean. */
  readonly eye: number;
  /** How readily someone goes on after a pass that did not do. */
  readonly patience: number;
  /** Chance that the tanks are read, that drying is checked, that the vacuum goes round once more. */
  readonly readsTanks: number;
  readonly checksDrying: number;
  readonly finalVacuum: number;
}

export interface Person {
  readonly key: string;
  readonly name: string;
  /** Month of the history in which the person starts; absent: there from the beginning. */
  readonly joinsInMonth?: number;
  readonly share: number;
  readonly habits: Habits;
}

const usual: Habits = {
  pace: 1,
  trigger: 0.42,
  dryPasses: 1,
  nozzle: 1,
  eye: 2.4,
  patience: 1,
  readsTanks: 0.55,
  checksDrying: 0.65,
  finalVacuum: 0.6,
};

/** `dov` leaves too much water in: trigger held long, hardly a dry pass, nozzle at an angle. `finn` joins part-way and learns. */
export const people: readonly Person[] = [
  { key: 'ada', name: 'Ada (invented)', share: 1.2, habits: { ...usual, pace: 0.95, nozzle: 1.04, readsTanks: 0.7 } },
  { key: 'bram', name: 'Bram (invented)', share: 1, habits: { ...usual, pace: 1.06, eye: 2.1, patience: 1.3 } },
  { key: 'cleo', name: 'Cleo (invented)', share: 1, habits: { ...usual, dryPasses: 1.3, checksDrying: 0.8 } },
  {
    key: 'dov',
    name: 'Dov (invented)',
    share: 1,
    habits: { ...usual, pace: 0.97, trigger: 0.6, dryPasses: 0.45, nozzle: 0.94, finalVacuum: 0.35 },
  },
  { key: 'esme', name: 'Esme (invented)', share: 0.8, habits: { ...usual, pace: 1.03, trigger: 0.4, eye: 2.7 } },
  { key: 'finn', name: 'Finn (invented)', share: 0.9, joinsInMonth: 8, habits: { ...usual, readsTanks: 0.45 } },
];

/** An extractor with what its process needs beside the listed figures. */
export interface Extractor extends Omit<Machine, 'from' | 'until' | 'waterLiftKpa' | 'airflowM3h'> {
  readonly waterLiftKpa: number;
  readonly airflowM3h: number;
  readonly arrivesInMonth?: number;
  readonly sprayLitresPerMinute: number;
  readonly tankLitres: number;
}

export const extractors: readonly Extractor[] = [
  {
    key: 'old-tub',
    name: 'Old Tub (invented)',
    kind: 'extractor',
    grade: 'entry',
    waterLiftKpa: 17,
    airflowM3h: 140,
    price: 480,
    sprayLitresPerMinute: 1.05,
    tankLitres: 8,
  },
  {
    key: 'grey-barrel',
    name: 'Grey Barrel (invented)',
    kind: 'extractor',
    grade: 'standard',
    waterLiftKpa: 24,
    airflowM3h: 175,
    price: 1450,
    sprayLitresPerMinute: 1.2,
    tankLitres: 12,
  },
  {
    key: 'tall-boiler',
    name: 'Tall Boiler (invented)',
    kind: 'extractor',
    grade: 'high',
    waterLiftKpa: 34,
    airflowM3h: 215,
    heated: true,
    price: 3900,
    arrivesInMonth: 9,
    sprayLitresPerMinute: 1.25,
    tankLitres: 18,
  },
];

/** The counter's price list, in hours: the body style and the package alone, whatever the soil. */
export const listHours: Readonly<Record<BodyStyle, number>> = {
  coupe: 3,
  hatchback: 3,
  sedan: 3.5,
  wagon: 3.5,
  suv: 4,
  'suv-3row': 4.5,
  minivan: 4.5,
  pickup: 3.5,
  van: 4.5,
};
export const listRate = 40;
export const listMaterials = 10;

/** The history in months, and the days between the work and the moment when a comeback would be known. */
export const historyMonths = 18;
export const comebackDays = 14;

/** What the shop's list of technicians and machines says, once the months have a date. */
export function lists(dateOfMonth: (month: number) => string): { technicians: Technician[]; machines: Machine[] } {
  const technicians = people.map(({ key, name, joinsInMonth }) => ({
    key,
    name,
    from: dateOfMonth(joinsInMonth ?? 0),
  }));
  const machines = extractors.map(({ arrivesInMonth, sprayLitresPerMinute: _spray, tankLitres: _tank, ...listed }) => ({
    ...listed,
    from: dateOfMonth(arrivesInMonth ?? 0),
  }));
  return { technicians, machines };
}
