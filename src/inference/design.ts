import { EigenvalueDecomposition, Matrix } from 'ml-matrix';

/** How far out the points lie, in units of √m standard deviations; 1 would leave the centre no weight. */
const RADIUS = 1.1;
/** A direction that the data leave flat gets no longer standard deviation than this on the log scale. */
const WIDEST = 2;

interface DesignPoint {
  /** Standardised place. */
  readonly z: Float64Array;
  /** Integration weight of the place itself, to be multiplied by the density there. */
  readonly weight: number;
}

/**
 * Central composite design in m dimensions: the centre, 2m points on the axes and the corners of a cube, all but the centre on one sphere
 * (3, 9, 15, 25 points for m = 1, 2, 3, 4). The weights make the moments 0, 1 and 2 of a standard normal come out right:
 * with r = f√m, centre 1 − 1/f², the others exp(m f²/2) / (K f²) each, K their number.
 *
 * **Source** Rue, Martino, Chopin (2009), section 6.5 (f > 1; the two conditions on the weights).
 * **Checked** tests/inference/design.test.ts
 */
export function compositeDesign(m: number): readonly DesignPoint[] {
  if (m === 0) return [{ z: new Float64Array(0), weight: 1 }];
  const sphere = [...axisPoints(m), ...(m > 1 ? cornerPoints(m) : [])];
  const weight = Math.exp(0.5 * m * RADIUS ** 2) / (sphere.length * RADIUS ** 2);
  return [{ z: new Float64Array(m), weight: 1 - 1 / RADIUS ** 2 }, ...sphere.map((z) => ({ z, weight }))];
}

/** Square matrix S with S Sᵀ the inverse of `curvature` (m × m, row-major, symmetric), by its eigenvectors. */
export function standardDeviations(curvature: Float64Array, m: number): Float64Array {
  const decomposition = new EigenvalueDecomposition(Matrix.from1DArray(m, m, curvature), { assumeSymmetric: true });
  const scales = decomposition.realEigenvalues.map((value) => (value > WIDEST ** -2 ? value ** -0.5 : WIDEST));
  return Float64Array.from({ length: m * m }, (_, k) => {
    const column = k % m;
    return decomposition.eigenvectorMatrix.get(Math.floor(k / m), column) * scales[column];
  });
}

function axisPoints(m: number): Float64Array[] {
  return Array.from({ length: 2 * m }, (_, k) => {
    const z = new Float64Array(m);
    z[k >> 1] = (k % 2 === 0 ? 1 : -1) * RADIUS * Math.sqrt(m);
    return z;
  });
}

function cornerPoints(m: number): Float64Array[] {
  return Array.from({ length: 2 ** m }, (_, bits) =>
    Float64Array.from({ length: m }, (_, k) => ((bits >> k) & 1 ? RADIUS : -RADIUS)),
  );
}
