/** The few functions of psychrolib (SI units) that the program uses; the package carries no types. */
declare module 'psychrolib' {
  interface Psychrometrics {
    readonly SI: number;
    SetUnitSystem(unitSystem: number): void;
    /** Pa, from °C. */
    GetSatVapPres(dryBulbC: number): number;
    /** °C, from °C, relative humidity 0–1 and Pa. */
    GetTWetBulbFromRelHum(dryBulbC: number, relativeHumidity: number, pressurePa: number): number;
  }
  const psychrometrics: Psychrometrics;
  export default psychrometrics;
}
