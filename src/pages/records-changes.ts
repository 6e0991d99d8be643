import type { FinishedJob } from '../domain/record.ts';
import { type Fact, type FactGroup, factsOf, type Telling } from './records-facts.ts';

/** What of a record became another, in the words of its facts. */
export function changesBetween(before: FinishedJob, after: FinishedJob, telling: Telling): string[] {
  const [then, now] = [factsOf(before, telling), factsOf(after, telling)];
  const keys = [...new Set([...then, ...now].map(({ key }) => key))];
  return keys.flatMap((key) =>
    groupChanges(
      then.find((group) => group.key === key),
      now.find((group) => group.key === key),
    ),
  );
}

function groupChanges(then: FactGroup | undefined, now: FactGroup | undefined): string[] {
  if (then === undefined) return now ? [`${now.title}: added, with ${told(now.facts)}`] : [];
  if (now === undefined) return [`${then.title}: taken away; it was ${told(then.facts)}`];
  const labels = [...new Set([...then.facts, ...now.facts].map(({ label }) => label))];
  return labels.flatMap((label) => {
    const [old, fresh] = [factOf(then, label), factOf(now, label)];
    const change = factChange(old, fresh);
    return change === undefined ? [] : [`${now.title}, ${label}: ${change}`];
  });
}

function factChange(old: Fact | undefined, fresh: Fact | undefined): string | undefined {
  if (JSON.stringify(old?.stored) === JSON.stringify(fresh?.stored)) return undefined;
  if (old === undefined) return `${fresh?.says}, not noted before`;
  if (fresh === undefined) return `no longer noted; it was ${old.says}`;
  if (old.says === fresh.says) return `${fresh.says}, changed by less than is shown`;
  return `${fresh.says}; it was ${old.says}`;
}

function told(facts: readonly Fact[]): string {
  return facts.map(({ label, says }) => `${label} ${says}`).join(', ');
}

function factOf({ facts }: FactGroup, label: string): Fact | undefined {
  return facts.find((fact) => fact.label === label);
}
