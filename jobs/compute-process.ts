import { setPriority } from 'node:os';
import { computeFit } from './compute-fit.ts';

/** The child's side of `compute-apart.ts`: one message in, one out, then it ends. */
setPriority(10);
process.once('disconnect', () => process.exit(1));
process.once('message', (input) => {
  process.send?.(computeFit(input as Parameters<typeof computeFit>[0]), () => process.exit(0));
});
