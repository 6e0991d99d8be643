import type { ModelName } from '../domain/doubts.ts';
import { normalQuantile } from '../inference/normal.ts';
import { coefficientSummary, type Summary } from '../inference/summary.ts';
import type { FitTrace } from '../inference/types.ts';
import type { Stops } from './giving-up.ts';
import { priorsOf } from './layout.ts';
import type { LeftOut, Odd } from './rows/model-rows.ts';
import { ruleOf } from './rule-table.ts';
import type { RuleOfThumb } from './rules-of-thumb.ts';
import type { SecondPasses } from './second-pass.ts';
import { modelNames, type ShopFit, type StandIn } from './shop-fit.ts';

/** A fixed term: what the rule of thumb said and what the records made of it, log scale. */
interface TermSummary extends Summary {
  readonly term: string;
  readonly rule: { readonly mean: number; readonly sd: number };
}

/** A technician's or machine's effect: a factor on the figure, against the others at the same work. */
interface EffectSummary extends Summary {
  readonly key: string;
}

interface ModelSummary {
  readonly recordsUsed: number;
  readonly rows: number;
  readonly leftOut: readonly LeftOut[];
  /** Of those that were read. */
  readonly odd: readonly Odd[];
  readonly standIn?: StandIn | undefined;
  readonly terms: readonly TermSummary[];
  readonly technicians: readonly EffectSummary[];
  readonly machines: readonly EffectSummary[];
  readonly spreadOfTechnicians: Summary;
  readonly spreadOfMachines: Summary | null;
  readonly sigma: Summary;
  readonly trace: FitTrace;
}

export interface FitSummary {
  readonly fittedAt: string;
  readonly jobs: number;
  readonly models: Readonly<Record<ModelName, ModelSummary>>;
  readonly rules: readonly RuleOfThumb[];
  /** Everybody's counts of giving up after each pass, the rules' own included. */
  readonly givingUp: Stops;
  /** Who makes a second pass to be safe, the rule's own people included. */
  readonly secondPasses: SecondPasses;
}

/** A fit for people: coefficients with 90 % intervals beside their rules, spreads, what was read and what was not. All on the log scale. */
export function summariseShopFit(fit: ShopFit): FitSummary {
  const [passes, labour, water, drying] = modelNames.map((name) => modelSummary(fit, name));
  const { fittedAt, nJobs: jobs, rules, givingUp, secondPasses } = fit;
  return {
    fittedAt,
    jobs,
    models: { passes, labour, water, drying },
    rules,
    givingUp: givingUp.everybody,
    secondPasses,
  };
}

function modelSummary(fit: ShopFit, name: ModelName): ModelSummary {
  const { layout, posterior, used, leftOut, odd, standIn } = fit.models[name];
  const { coefficients, tau, sigma } = coefficientSummary(posterior);
  const { fixed } = priorsOf(name, layout, fit.rules);
  const firstMachine = layout.terms.length + layout.technicians.length + 1;
  const effects = (keys: readonly string[], first: number) =>
    keys.map((key, i) => ({ key, ...coefficients[first + i] }));
  return {
    recordsUsed: used,
    rows: posterior.trace.nObs,
    leftOut,
    odd,
    ...(standIn && { standIn }),
    terms: [
      ...layout.terms.map((term, i) => ({
        term,
        ...coefficients[i],
        rule: { mean: fixed.mean[i], sd: fixed.sd[i] },
      })),
      ...(name === 'drying' ? [nightSummary(fit)] : []),
    ],
    technicians: effects(layout.technicians, layout.terms.length),
    machines: effects(layout.machines ?? [], firstMachine),
    spreadOfTechnicians: tau[0],
    spreadOfMachines: tau[1] ?? null,
    sigma,
    trace: posterior.trace,
  };
}

/** How much longer drying takes at night is no coefficient, but it is learnt like one. */
function nightSummary({ nights: { logRate, logRateSd: sd }, rules }: ShopFit): TermSummary {
  const rule = ruleOf(rules, 'drying', 'night');
  const at = (z: number) => z * sd - logRate;
  const z95 = normalQuantile(0.95);
  const learnt = { mean: at(0), sd, p05: at(-z95), p50: at(0), p95: at(z95) };
  return { term: 'night', ...learnt, rule: { mean: rule.mean, sd: rule.sd } };
}
