import type { Fault } from '../domain/faults.ts';
import { ruleIn } from '../domain/rule-units.ts';
import type { FormState } from './form-input.ts';
import { measureOf, type Quantity, type Units } from './measures.ts';
import { headingFor } from './words.ts';

/** The faults of a job in the words of its form: "Front seats, wet passes is "two": a whole number …". */
export function jobFaultsInWords(faults: readonly Fault[], form: FormState, units: Units): Fault[] {
  return faults.map((fault) => {
    if (fault.pointer === '/labour' && fault.message.startsWith('labour is missing')) return nobodyWorked(fault);
    const field = placeInWords(fault.pointer, form);
    if (field === undefined) return fault;
    return { ...fault, field, message: messageOf(fault, field, form, units) };
  });
}

/** Told where the first of them is chosen: the list itself has no field. */
function nobodyWorked(fault: Fault): Fault {
  return {
    ...fault,
    pointer: '/labour/0/technician',
    field: '',
    message: 'Choose who worked on it, and give the minutes',
  };
}

/** Where a fault lies; undefined where it is the whole job that is wrong, or a field that no form has. */
function placeInWords(pointer: string, form: FormState): string | undefined {
  const steps = pointer.slice(1).split('/');
  if (steps[1] === 'checks') return checkInWords(steps);
  const label = labels[steps.at(-1) ?? ''];
  if (label === undefined) return undefined;
  if (steps[0] !== 'sections' || steps.length < 3) return label;
  const area = form.typed(`sections.${steps[1]}.area`);
  return `${area ? headingFor(area) : `Part ${Number(steps[1]) + 1}`}, ${label.toLowerCase()}`;
}

/** A drying check by its place in the form; two that contradict each other have no field of their own. */
function checkInWords([, , place, field]: readonly string[]): string | undefined {
  if (place === undefined) return undefined;
  const label = field === undefined ? '' : field === 'dry' ? ', dry or wet' : ', hours';
  return `Drying check ${Number(place) + 1}${label}`;
}

function messageOf(fault: Fault, field: string, form: FormState, units: Units): string {
  const { pointer, message } = fault;
  if (pointer === '/finishedAt' && message.includes('not in the future')) return `${field} is later than it is now`;
  if (!message.startsWith(`${fault.field} `)) return message; // a sentence of its own
  if (pointer.endsWith('/dry')) return `${field}: say which it was`;
  const inWords = field + message.slice(fault.field.length).replace(/\bdrying\.checks\[(\d+)\]/, checkNamed);
  const quantity = quantities[pointer.split('/').at(-1) ?? ''];
  if (!quantity || units === 'si') return inWords;
  const typed = form.typed(pointer.slice(1).replaceAll('/', '.'));
  // Litres that come from tank levels stand in no field.
  if (!typed) return `${inWords}, in ${measureOf(quantity, 'si').unit}`;
  const { unit, fromSi } = measureOf(quantity, units);
  const rule = ruleIn(message.slice(message.indexOf(': ') + 2), fromSi);
  return `${field} is ${JSON.stringify(typed)} ${unit}: ${rule}`;
}

function checkNamed(_: string, place: string): string {
  return `drying check ${Number(place) + 1}`;
}

const quantities: Readonly<Record<string, Quantity>> = {
  surfaceM2: 'surfaceM2',
  sprayedLitres: 'litres',
  recoveredLitres: 'litres',
  solutionC: 'celsius',
  airC: 'celsius',
  airSpeedMs: 'airSpeedMs',
};

const labels: Readonly<Record<string, string>> = {
  ref: 'Job number',
  finishedAt: 'Work ended',
  bodyStyle: 'Body style',
  modelYear: 'Model year',
  labour: 'Who worked on it',
  technician: 'Technician',
  minutes: 'Minutes',
  extractor: 'Extractor',
  dilution: 'Water to one part of concentrate',
  solutionC: 'Solution in the tank',
  sprayedLitres: 'Sprayed',
  recoveredLitres: 'Got back',
  area: 'Part',
  count: 'Pieces',
  surfaceM2: 'Surface',
  fabric: 'Fabric',
  soil: 'Soil before the work',
  stains: 'Stains',
  method: 'Method',
  brush: 'Brush',
  wetPasses: 'Wet passes',
  dryPasses: 'Dry passes',
  spotRounds: 'Spot rounds',
  result: 'How it came out',
  aid: 'Drying',
  airC: 'Air',
  rhPercent: 'Humidity of the air',
  airSpeedMs: 'Air speed',
  hours: 'Hours quoted',
  price: 'Price quoted',
  note: 'Note',
  cleanBefore: 'Clean tank before',
  cleanAfter: 'Clean tank after',
  refilled: 'Refilled in between',
  wasteBefore: 'Waste tank before',
  wasteAfter: 'Waste tank after',
  emptied: 'Emptied in between',
};
