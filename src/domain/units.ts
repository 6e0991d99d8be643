/**
 * Exact factors between the units of the edges and ours. The US gallon is 231 cubic inches and the inch 25.4 mm
 * (international yard and pound agreement, 1959), so all but the inch of water are exact by definition.
 */
export const litresPerUsGallon = 3.785411784;
export const litresPerUsFluidOunce = litresPerUsGallon / 128;
export const squareMetresPerSquareFoot = 0.3048 ** 2;
/** Cubic metres an hour in one cubic foot a minute. */
export const cubicMetresPerHourPerCfm = 0.3048 ** 3 * 60;
/** The statute mile is 1609.344 m exactly. */
export const metresPerSecondPerMph = 1609.344 / 3600;
/** The conventional inch of water, 249.08891 Pa, as GNU units 2.22 has it (at 4 °C and 60 °F it is 249.082 and 248.84). */
export const kilopascalsPerInchOfWater = 0.24908891;

export function celsiusOfFahrenheit(fahrenheit: number): number {
  return (fahrenheit - 32) / 1.8;
}

export function fahrenheitOfCelsius(celsius: number): number {
  return celsius * 1.8 + 32;
}

/**
 * Concentrate in one litre of ready mix at `parts`:1, in millilitres. 20:1 is twenty parts of water to one of
 * concentrate, twenty-one parts in all; it is not "one in twenty".
 */
export function concentrateMlPerLitre(parts: number): number {
  return 1000 / (parts + 1);
}
