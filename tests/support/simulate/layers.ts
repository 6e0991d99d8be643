/** Water in the cloth and in the foam under it, L/m². */
export interface Layers {
  readonly cloth: number;
  readonly foam: number;
}

/**
 * One wet pass and the dry passes after it: seconds over each place, the nozzle pulling on the cloth, the cloth giving what it
 * cannot hold to the foam and the foam giving some of it back. `depth` scales what soaks in and what fibres keep.
 */
export function layersAfterPass(
  before: Layers,
  dose: number,
  suction: number,
  dryPasses: number,
  depth: number,
): Layers {
  const soaked = stepLayers({ cloth: before.cloth + dose, foam: before.foam }, 1.2, 0, depth);
  return stepLayers(soaked, 1 + 0.75 * dryPasses, suction, depth);
}

/** Hours until both layers feel dry: the cloth evaporates as wet as it is, the foam feeds it. `slowness` of the pad. */
export function layersDryHours(start: Layers, freeRate: number, slowness: number): number {
  let { cloth, foam } = start;
  let hours = 0;
  const step = 0.05;
  while ((cloth > 0.015 || foam > 0.03) && hours < 200) {
    const evaporated = freeRate * Math.min(1, cloth / 0.06);
    const fed = (0.55 / slowness) * Math.max(0, foam - 0.5 * cloth);
    cloth = Math.max(0, cloth + step * (fed - evaporated));
    foam = Math.max(0, foam - step * fed);
    hours += step;
  }
  return hours;
}

function stepLayers({ cloth, foam }: Layers, seconds: number, suction: number, depth: number): Layers {
  const step = 0.1;
  const kept = 0.11 * depth;
  for (let t = 0; t < seconds; t += step) {
    const drawn = 2.2 * suction * Math.max(0, cloth - kept);
    const sunk = 0.09 * depth * Math.max(0, cloth - 0.25);
    const raised = 0.1 * suction * Math.max(0, foam - 0.02);
    cloth += step * (raised - sunk - drawn);
    foam += step * (sunk - raised);
  }
  return { cloth, foam };
}
