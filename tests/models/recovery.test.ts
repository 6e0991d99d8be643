import { describe, expect, it } from 'vitest';
import { coefficientSummary } from '../../src/inference/summary.ts';
import { estimateJob } from '../../src/models/estimate.ts';
import { modelNames } from '../../src/models/shop-fit.ts';
import { simulateSponge } from '../support/simulate/sponge-shop.ts';
import { knownColumns, priorShop } from './prior-shop.ts';
import { context, fitOf } from './shop-under-test.ts';

// Shops drawn from the rules of thumb, and back: where the truth comes from the prior, an exact posterior's 90 % intervals hold it 90 times of 100.
const nShops = 80;
const nJobs = 60;
const nPlanned = 6;

interface Count {
  held: number;
  of: number;
}

const coefficients = new Map<string, Count>();
const terms = new Map<string, Count>();
const outcomes = new Map<string, Count>();
for (let seed = 1; seed <= nShops; seed++) {
  const shop = priorShop(seed, nJobs, nPlanned);
  const fit = fitOf(shop.records);
  for (const name of modelNames) {
    const { layout, coefficients: truth } = shop.truth[name];
    const summary = coefficientSummary(fit.models[name].posterior);
    for (const j of knownColumns(layout)) {
      count(coefficients, name, truth[j], summary.coefficients[j]);
      count(terms, `${name} ${layout.terms[j]}`, truth[j], summary.coefficients[j]);
    }
  }
  for (const { job, outcome } of shop.planned) {
    const estimate = estimateJob(fit, job, { ...context, nDraws: 1000 });
    count(outcomes, 'hours', outcome.hours, estimate.labourHours);
    count(outcomes, 'water', outcome.wettestLPerM2, estimate.waterLPerM2);
    count(outcomes, 'drying', outcome.dryHours, estimate.dryHours);
  }
}

describe('recovery: shops drawn from the rules of thumb', () => {
  // 80 shops: those of one shop move together, so the bound is that of 80 × 6 independent ones or so: three standard errors of 0.014.
  it.each(modelNames)('%s: 90 %% intervals hold the true coefficients nine times of ten', (name) => {
    expect(Math.abs(share(coefficients, name) - 0.9)).toBeLessThan(0.04);
  });

  // Each in 80 shops, which are independent: three standard errors of 0.034.
  it.each(['water int', 'water lwet', 'water dry', 'water lost', 'drying int', 'drying lwater', 'drying lair'])(
    '%s lies in its interval of 90 per cent nine times of ten',
    (term) => {
      expect(Math.abs(share(terms, term) - 0.9)).toBeLessThan(0.1);
    },
  );

  // 480 jobs, three standard errors; six of a shop share its truth.
  it.each(['hours', 'water', 'drying'])(
    '%s: 90 %% intervals hold what jobs not seen came to nine times of ten',
    (name) => {
      expect(Math.abs(share(outcomes, name) - 0.9)).toBeLessThan(0.045);
    },
  );
});

function count(
  counts: Map<string, Count>,
  name: string,
  truth: number,
  { p05, p95 }: { readonly p05: number; readonly p95: number },
): void {
  const { held, of } = counts.get(name) ?? { held: 0, of: 0 };
  counts.set(name, { held: held + (p05 <= truth && truth <= p95 ? 1 : 0), of: of + 1 });
}

function share(counts: Map<string, Count>, name: string): number {
  const { held, of } = counts.get(name) ?? { held: 0, of: 0 };
  return held / of;
}

describe('contract: a small shop whose hours pull two ways', () => {
  it('is learnt: the search for a mode ends, and soon', () => {
    const { records, technicians, machines } = simulateSponge(311, 25);
    const { labour } = fitOf(records, { technicians, machines, rules: { 'labour.sigma': { sd: 0.6 } } }).models;
    const { newtonIterations, marginalEvaluations } = labour.posterior.trace;
    expect(labour.standIn).toBe(undefined);
    // Scoring alone came to none in 1,000.
    expect(newtonIterations / marginalEvaluations).toBeLessThan(40);
  });
});
