import { headingFor } from './words.ts';

/** Where a fault of a planned job lies, in the words of the form: "Rear bench, surface". */
export function placeInWords(pointer: string, input: Readonly<Record<string, unknown>>): string {
  const [first = '', second = '', third] = pointer.slice(1).split('/');
  if (first !== 'sections' || third === undefined) return labels[second === '' ? first : second] ?? pointer;
  const sections = Array.isArray(input.sections) ? input.sections : [];
  const area: unknown = sections[Number(second)]?.area;
  return `${headingFor(String(area))}, ${(labels[third] ?? third).toLowerCase()}`;
}

const labels: Readonly<Record<string, string>> = {
  bodyStyle: 'Body style',
  modelYear: 'Model year',
  startAt: 'The beginning of the work',
  crew: 'The number at work at once',
  technician: 'Technician',
  extractor: 'Extractor',
  aid: 'Drying aid',
  airC: 'Air temperature',
  rhPercent: 'Humidity',
  labourRate: 'One hour of work',
  materials: 'Materials',
  soil: 'Soil',
  method: 'Method',
  fabric: 'Fabric',
  count: 'Pieces',
  surfaceM2: 'Surface',
  brush: 'Brush',
  stains: 'Stains',
};
