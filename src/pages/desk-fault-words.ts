import type { Fault } from '../domain/faults.ts';
import { drying, section } from '../domain/record.ts';
import { measureOf, type Quantity, type Units } from './measures.ts';
import { headingFor } from './words.ts';

/** A fault of a planned job in the words of the form; `typed` is what stands in its field. */
export function planFaultWords(
  fault: Fault,
  { input, typed, units }: { input: Readonly<Record<string, unknown>>; typed: string | undefined; units: Units },
): Pick<Fault, 'field' | 'message'> {
  const { pointer } = fault;
  const field = placeInWords(pointer, input);
  if (pointer === '/sections') return { field, message: 'Nothing is ticked: at least one part has to be cleaned' };
  const quantity = quantities[pointer.split('/').at(-1) ?? ''];
  // The rule itself speaks SI; the field does not have to.
  if (quantity && typed) return { field, message: `${field} is "${typed}": ${rangeOf(quantity, units)}` };
  return { field, message: fault.message.replace(fault.field, () => field) };
}

/** Where a fault of a planned job lies: "Rear bench, surface". */
function placeInWords(pointer: string, input: Readonly<Record<string, unknown>>): string {
  const [first = '', second = '', third] = pointer.slice(1).split('/');
  if (first !== 'sections' || third === undefined) return labels[second === '' ? first : second] ?? pointer;
  const sections = Array.isArray(input.sections) ? input.sections : [];
  const area: unknown = sections[Number(second)]?.area;
  return `${headingFor(String(area))}, ${(labels[third] ?? third).toLowerCase()}`;
}

interface Bounds {
  readonly quantity: Quantity;
  readonly least: number;
  readonly most: number;
}

const airC = drying.shape.airC.unwrap();
const surfaceM2 = section.shape.surfaceM2.unwrap();
const quantities: Readonly<Record<string, Bounds>> = {
  airC: { quantity: 'celsius', least: airC.minValue ?? 0, most: airC.maxValue ?? 0 },
  surfaceM2: { quantity: 'surfaceM2', least: surfaceM2.minValue ?? 0, most: surfaceM2.maxValue ?? 0 },
};

function rangeOf({ quantity, least, most }: Bounds, units: Units): string {
  const { unit, fromSi } = measureOf(quantity, units);
  return `a number from ${Math.round(fromSi(least))} to ${Math.round(fromSi(most))} ${unit}`;
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
