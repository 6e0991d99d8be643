import { setPriority } from 'node:os';
import { computeFit, type FitMaterial } from './compute-fit.ts';

/** The child's side of `compute-apart.ts`: one message in, one out, then it ends. */
setPriority(10);
process.once('disconnect', () => process.exit(1));
process.once('message', (material: FitMaterial) => {
  process.send?.(computeFit(material), () => process.exit(0));
});
