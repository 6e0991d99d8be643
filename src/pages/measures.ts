import type { ShopSettings } from '../domain/shop-settings.ts';
import {
  celsiusOfFahrenheit,
  cubicMetresPerHourPerCfm,
  fahrenheitOfCelsius,
  kilopascalsPerInchOfWater,
  litresPerUsFluidOunce,
  litresPerUsGallon,
  metresPerSecondPerMph,
  squareMetresPerSquareFoot,
} from '../domain/units.ts';

export type Units = ShopSettings['units'];

/** How one quantity is written: its unit, the digits worth showing, and the way from SI and back. */
export interface Measure {
  readonly unit: string;
  readonly digits: number;
  readonly fromSi: (value: number) => number;
  readonly toSi: (value: number) => number;
}

export const quantities = [
  'litres',
  'litresPerM2',
  'surfaceM2',
  'celsius',
  'kilopascals',
  'airflowM3h',
  'airSpeedMs',
] as const;
export type Quantity = (typeof quantities)[number];

/** The measure of a quantity in the units that the shop has set. Stored values stay SI. */
export function measureOf(quantity: Quantity, units: Units): Measure {
  return table[units][quantity];
}

const table: Readonly<Record<Units, Readonly<Record<Quantity, Measure>>>> = {
  si: {
    litres: same('L', 1),
    litresPerM2: same('L/m²', 2),
    surfaceM2: same('m²', 2),
    celsius: same('°C', 0),
    kilopascals: same('kPa', 1),
    airflowM3h: same('m³/h', 0),
    airSpeedMs: same('m/s', 1),
  },
  us: {
    litres: times('gal', 2, litresPerUsGallon),
    litresPerM2: times('fl oz/ft²', 2, litresPerUsFluidOunce / squareMetresPerSquareFoot),
    surfaceM2: times('ft²', 1, squareMetresPerSquareFoot),
    celsius: { unit: '°F', digits: 0, fromSi: fahrenheitOfCelsius, toSi: celsiusOfFahrenheit },
    kilopascals: times('inches of water', 0, kilopascalsPerInchOfWater),
    airflowM3h: times('ft³/min', 0, cubicMetresPerHourPerCfm),
    airSpeedMs: times('mph', 1, metresPerSecondPerMph),
  },
};

function same(unit: string, digits: number): Measure {
  return times(unit, digits, 1);
}

/** `one` is how much of the SI unit lies in one of ours. */
function times(unit: string, digits: number, one: number): Measure {
  return { unit, digits, fromSi: (value) => value / one, toSi: (value) => value * one };
}
