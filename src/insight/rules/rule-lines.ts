import { rulesOfThumb } from '../../models/rules-of-thumb.ts';
import type { Range } from '../range.ts';
import type { FitReading } from './fit-reading.ts';
import {
  believed,
  learnt,
  measureOfRule,
  ownShare,
  type RuleMeasure,
  type RuleModel,
  type RuleOfThumb,
} from './rule-figures.ts';
import { ruleName } from './rule-names.ts';

/** A rule of thumb for people: what it says, its 90 % range, and what the records have made of it. */
export interface RuleLine {
  readonly id: string;
  readonly model: RuleModel;
  readonly kind: RuleOfThumb['kind'];
  readonly name: string;
  readonly statement: string;
  readonly measure: RuleMeasure;
  readonly rule: Range;
  readonly data: Range | undefined;
  /** 0 to 1; undefined where there is no such share. */
  readonly ownShare: number | undefined;
  readonly isAdjusted: boolean;
}

/** The rules of a table beside what a fit made of them; without a fit there is nothing beside them. */
export function ruleLines(rules: readonly RuleOfThumb[], fit: FitReading | undefined): readonly RuleLine[] {
  return rules.map((rule) => ({
    id: rule.id,
    model: rule.model,
    kind: rule.kind,
    name: ruleName(rule),
    statement: rule.statement,
    measure: measureOfRule(rule),
    rule: believed(rule),
    data: fit && learnt(rule, fit),
    ownShare: fit && ownShare(rule, fit),
    isAdjusted: isAdjusted(rule),
  }));
}

/** Against the program's own table. */
function isAdjusted({ id, mean, sd }: RuleOfThumb): boolean {
  const own = rulesOfThumb.find((rule) => rule.id === id);
  return own !== undefined && (own.mean !== mean || own.sd !== sd);
}
