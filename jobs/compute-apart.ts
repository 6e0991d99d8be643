import { fork } from 'node:child_process';
import type { ComputedFit, FitMaterial } from './compute-fit.ts';

/**
 * Computes a fit in a process of its own, at a lower priority: a person who waits for an estimate is not slowed by the
 * night's work, memory goes back to the machine when it is done, and a crash there ends one run and nothing else.
 *
 * @throws Error when the process ends without an answer
 */
export function computeApart(material: FitMaterial): Promise<ComputedFit> {
  return new Promise((resolve, reject) => {
    const child = fork(new URL('./compute-process.ts', import.meta.url), {
      execArgv: ['--import', import.meta.resolve('tsx')],
      serialization: 'advanced',
    });
    child.once('message', (computed) => resolve(computed as ComputedFit));
    child.once('error', reject);
    child.once('exit', (code, signal) =>
      reject(new Error(`the process that computes the fit ended with ${signal ?? `code ${code}`} and no answer`)),
    );
    child.send(material);
  });
}
