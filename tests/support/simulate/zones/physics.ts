/** Moist air, drying of cloth over backing; own constants, checked against the published psychrometric values only. */

/** Saturation vapour pressure over water, Pa (Magnus form of Alduchov and Eskridge). */
export const saturationPa = (c: number): number => 610.94 * Math.exp((17.625 * c) / (c + 243.04));

/** Wet-bulb temperature by bisection on the psychrometer equation. */
export function wetBulbC(c: number, vapourPa: number): number {
  let low = -25;
  let high = c;
  for (let i = 0; i < 22; i += 1) {
    const middle = (low + high) / 2;
    if (saturationPa(middle) - 66.5 * (c - middle) > vapourPa) high = middle;
    else low = middle;
  }
  return (low + high) / 2;
}

export interface AirHour {
  readonly airC: number;
  readonly vapourPa: number;
  readonly speedMs: number;
  /** 0: the moisture is carried off at once; 1: the air over the cloth is saturated. */
  readonly enclosed: number;
}

/** What a fully wet surface gives off, kg/(m² h): pool formula, with a surface between wet bulb and air. */
export function wetRate({ airC, vapourPa, speedMs, enclosed }: AirHour): number {
  const bulb = wetBulbC(airC, vapourPa);
  const surfaceC = bulb + 0.45 * (airC - bulb);
  const drive = ((1 - enclosed) * Math.max(15, saturationPa(surfaceC) - vapourPa)) / 1000;
  const latent = 2501 - 2.36 * surfaceC;
  return (3600 * drive * (0.089 + 0.0782 * speedMs)) / latent;
}

export interface WetPlace {
  readonly cloth: number;
  readonly backing: number;
  readonly clothHolds: number;
  readonly backingHolds: number;
  /** How fast backing gives its water up to the cloth, kg/(m² h) at full difference. */
  readonly climb: number;
  /** What the cloth lets through of the free surface's rate. */
  readonly open: number;
}

const longestHours = 400;

/** Hours until cloth and what stands behind it feel dry; `rates[h]` is the free rate in hour h. */
export function hoursToDry(place: WetPlace, rateOf: (hour: number) => number): number {
  let { cloth, backing } = place;
  const critical = 0.45 * place.clothHolds;
  const dryAt = 0.026 + 0.048 * place.clothHolds;
  const steps = 8;
  const dt = 1 / steps;
  for (let hour = 0; hour < longestHours; hour += 1) {
    const rate = rateOf(hour) * place.open;
    for (let s = 0; s < steps; s += 1) {
      if (cloth + 0.3 * backing <= dryAt) return Math.max(0.1, hour + s * dt);
      const off = Math.min(cloth, rate * Math.min(1, cloth / critical) * dt);
      const climbs = place.climb * (backing / place.backingHolds - (0.35 * cloth) / place.clothHolds) * dt;
      const up = climbs > 0 ? Math.min(backing, climbs) : Math.max(-0.2 * cloth * dt, climbs);
      cloth = Math.max(0, cloth - off + up);
      backing = Math.max(0, backing - up - 0.04 * rate * Math.min(1, backing / place.backingHolds) * dt);
    }
  }
  return longestHours;
}
