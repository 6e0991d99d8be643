import type { FinishedJob } from '../domain/record.ts';
import type { Role } from '../domain/vocabulary.ts';
import { changesBetween } from './records-changes.ts';
import type { Telling } from './records-facts.ts';
import { versionHref } from './records-links.ts';

/** A content that another has taken the place of. */
interface FormerContent {
  readonly version: number;
  readonly replacedAt: Date;
  readonly reason: VersionReason;
  readonly changedBy: { readonly name: string; readonly role: Role; readonly as: 'person' | 'key' } | null;
  readonly record: FinishedJob;
}

type VersionReason = 'replaced' | 'deleted' | 'check' | 'comeback';

export interface JobVersions {
  readonly ref: string;
  /** The oldest first. */
  readonly former: readonly FormerContent[];
  /** Undefined where the job was taken out. */
  readonly present: FinishedJob | undefined;
  readonly telling: Telling;
}

/** What a job was before, the latest change first: when, what became another, and each former content to read. */
export function Versions({ ref, former, present, telling }: JobVersions) {
  if (former.length === 0) return <p class="soft">It stands as it was first recorded.</p>;
  return (
    <section>
      <h2>What was changed</h2>
      <ol class="cards" reversed>
        {former
          .map((one, i) => (
            <li>
              <Change {...{ ref, telling }} one={one} next={former[i + 1]?.record ?? present} />
            </li>
          ))
          .reverse()}
      </ol>
    </section>
  );
}

interface ChangeProps {
  readonly ref: string;
  readonly one: FormerContent;
  readonly next: FinishedJob | undefined;
  readonly telling: Telling;
}

function Change({ ref, one, next, telling }: ChangeProps) {
  const { version, replacedAt, reason, record, changedBy } = one;
  const changes = reason === 'deleted' || next === undefined ? [] : changesBetween(record, next, telling);
  return (
    <>
      <h3>
        {reasonWords[reason]} {telling.formats.date(replacedAt)}, {telling.formats.time(replacedAt)}
      </h3>
      <p class="soft">By: {whoWords(changedBy)}</p>
      {changes.length > 0 && (
        <ul>
          {changes.map((change) => (
            <li>{change}</li>
          ))}
        </ul>
      )}
      <p class="alone">
        <a href={versionHref(ref, version)}>As it stood before, version {version}</a>
      </p>
    </>
  );
}

function whoWords(who: FormerContent['changedBy']): string {
  if (who === null) return 'not known';
  return `${who.as === 'key' ? `a program with the key “${who.name}”` : who.name}, ${who.role}`;
}

const reasonWords: Readonly<Record<VersionReason, string>> = {
  replaced: 'Mended',
  deleted: 'Taken out',
  check: 'Drying check added',
  comeback: 'Comeback noted',
};
