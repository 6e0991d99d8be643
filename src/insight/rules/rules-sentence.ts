import type { RuleLine } from './rule-lines.ts';

/** Whether what was learnt lies beyond what the rule held likely. */
export function isBeyond({ rule, data }: Pick<RuleLine, 'rule' | 'data'>): boolean {
  return data !== undefined && (data.p50 < rule.p05 || data.p50 > rule.p95);
}

/** What the records say of all rules of thumb, in one sentence. */
export function rulesSentence(lines: readonly RuleLine[]): string {
  const told = lines.filter(({ data }) => data !== undefined);
  const adjusted = lines.filter(({ isAdjusted }) => isAdjusted).length;
  const own = adjusted === 0 ? '' : `; ${adjusted} ${adjusted === 1 ? 'is' : 'are'} adjusted by you`;
  if (told.length === 0)
    return `Nothing is learnt yet: estimates come from these ${lines.length} rules of thumb alone${own}.`;
  const beyond = told.filter(isBeyond).length;
  if (beyond === 0)
    return `What your own records say lies within the range of each of ${told.length} rules of thumb${own}.`;
  return `Your own records go beyond what ${beyond} of ${told.length} rules of thumb held likely${own}.`;
}
