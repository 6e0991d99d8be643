import type { Explanation, GivenEstimate } from '../insight/given-estimate.ts';
import { NumbersTable } from './figure.tsx';
import { signed } from './findings-words.ts';
import type { Formats } from './format.ts';
import { type Measure, measureOf } from './measures.ts';

/** What moved each figure from the typical job, in amounts that add up to the figure as they are shown. */
export function Drivers({ estimate, formats }: { estimate: GivenEstimate; formats: Formats }) {
  const { labourHours, dryHours, passes, waterLPerM2 } = estimate.drivers;
  const water = measureOf('litresPerM2', formats.units);
  const ownWater = inUnit(waterLPerM2, water);
  return (
    <section>
      <h2>What moves it</h2>
      <p class="soft">
        Against a typical job: a sedan’s front and rear seats of moderate soil, flat woven, taken out and extracted.
      </p>
      <div class="side-by-side">
        <Driven of="Work" unit="h" digits={2} explained={labourHours} formats={formats} />
        <Driven of="Drying after it" unit="h" digits={1} explained={dryHours} formats={formats} />
      </div>
      <details>
        <summary>What moves passes and water</summary>
        <div class="side-by-side">
          <Driven of="Passes needed" unit="passes" digits={2} explained={passes} formats={formats} />
          <Driven of="Water left in" unit={water.unit} digits={water.digits} explained={ownWater} formats={formats} />
        </div>
      </details>
    </section>
  );
}

function inUnit({ typical, parts, shown }: Explanation, { fromSi }: Measure): Explanation {
  const moved = parts.map((part) => ({ ...part, adds: fromSi(part.adds) }));
  return { typical: fromSi(typical), parts: moved, shown: fromSi(shown) };
}

interface DrivenProps {
  readonly of: string;
  readonly unit: string;
  readonly digits: number;
  readonly explained: Explanation;
  readonly formats: Formats;
}

function Driven({ of, unit, digits, explained, formats }: DrivenProps) {
  const rows = addingUp(explained, digits);
  const [typical, ...moved] = rows;
  const cells = moved.map(({ driver, adds }) => [driverWords[driver] ?? driver, signed(adds, digits, formats)]);
  const table = {
    columns: [of, unit],
    rows: [
      ['A typical job', formats.number(typical?.adds ?? 0, digits)],
      ...cells,
      ['This job', formats.number(explained.shown, digits)],
    ],
  };
  return (
    <div class="tight">
      <NumbersTable caption={`${of}: what adds to it and what takes from it`} table={table} />
    </div>
  );
}

/**
 * The typical figure and what each driver adds, as shown with so many digits. The running total is rounded, not each
 * part, so that what is shown adds up; what shows as nothing is left out.
 */
export function addingUp({ typical, parts }: Explanation, digits: number): { driver: string; adds: number }[] {
  const rounded = (value: number) => Number(value.toFixed(digits));
  let exact = typical;
  let shown = rounded(typical);
  const rows = [{ driver: 'typical', adds: shown }];
  for (const { driver, adds } of parts) {
    exact += adds;
    const step = rounded(rounded(exact) - shown);
    shown = rounded(shown + step);
    if (step !== 0) rows.push({ driver, adds: step });
  }
  return rows;
}

const driverWords: Readonly<Record<string, string>> = {
  soil: 'Soil',
  fabric: 'Fabric',
  method: 'Method',
  stains: 'Stains',
  brush: 'Brush',
  extractor: 'Extractor',
  technician: 'Technician',
  'body style': 'Body style',
  'seats in or out': 'Seats in or out',
  'surface and passes': 'Surface and passes',
  'second passes to be safe': 'Second passes to be safe',
  passes: 'Passes',
  sections: 'Number of parts',
  crew: 'Several at work',
  'dry passes': 'Dry passes',
  'last round with the vacuum': 'Last round with the vacuum',
  'water left in': 'Water left in',
  air: 'Air',
  'drying aid': 'Drying aid',
  'drying aid not said': 'Drying aid not said',
  season: 'Season',
  night: 'Hours of the night',
  spread: 'Parts that differ, and chance',
};
