import { mayDo, type Role } from '../domain/vocabulary.ts';

export interface Place {
  readonly path: string;
  readonly label: string;
  /** The least role that may go there. */
  readonly role: Role;
}

export interface Area {
  readonly label: string;
  readonly places: readonly Place[];
}

/** Every screen that is reached from the top of a page; a new one is added here. */
export const areas: readonly Area[] = [
  {
    label: 'Bay',
    places: [
      { path: '/jobs/new', label: 'Record a job', role: 'technician' },
      { path: '/jobs/recent', label: 'Recent jobs', role: 'technician' },
    ],
  },
  {
    label: 'Desk',
    places: [
      { path: '/estimate', label: 'Estimate', role: 'desk' },
      { path: '/estimates', label: 'Given estimates', role: 'desk' },
      { path: '/price-list', label: 'Price list', role: 'desk' },
    ],
  },
  {
    label: 'Records',
    places: [
      { path: '/records', label: 'All jobs', role: 'desk' },
      { path: '/records/doubtful', label: 'Doubtful', role: 'desk' },
      { path: '/import', label: 'Take in a spreadsheet', role: 'owner' },
      { path: '/export', label: 'Give out', role: 'owner' },
    ],
  },
  {
    label: 'Findings',
    places: [
      { path: '/findings', label: 'The answers', role: 'desk' },
      { path: '/findings/quotes', label: 'Quotes', role: 'desk' },
      { path: '/findings/machines', label: 'Extractors', role: 'desk' },
      { path: '/findings/wetness', label: 'Water left in', role: 'desk' },
      { path: '/findings/comebacks', label: 'Comebacks', role: 'desk' },
      { path: '/findings/track-record', label: 'Track record', role: 'desk' },
      { path: '/findings/evidence', label: 'Evidence', role: 'desk' },
      { path: '/findings/fits', label: 'Fits', role: 'desk' },
      { path: '/findings/rules', label: 'Rules of thumb', role: 'owner' },
      { path: '/findings/what-to-record', label: 'What to record', role: 'desk' },
    ],
  },
  {
    label: 'Shop',
    places: [
      { path: '/setup', label: 'Setting up', role: 'owner' },
      { path: '/technicians', label: 'Technicians', role: 'owner' },
      { path: '/machines', label: 'Machines', role: 'owner' },
      { path: '/people', label: 'People', role: 'owner' },
      { path: '/keys', label: 'Keys', role: 'owner' },
    ],
  },
];

/** The areas of a role, each with the places that it may go to; empty ones are left out. */
export function areasFor(role: Role): Area[] {
  return areas
    .map(({ label, places }) => ({ label, places: places.filter((place) => mayDo(role, place.role)) }))
    .filter(({ places }) => places.length > 0);
}

/** The place that this address is or lies within; of several the closest. */
export function placeAt(areas: readonly Area[], path: string): Place | undefined {
  return areas
    .flatMap(({ places }) => places)
    .filter((place) => path === place.path || path.startsWith(`${place.path}/`))
    .sort((a, b) => b.path.length - a.path.length)[0];
}
