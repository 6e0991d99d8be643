import type { CsvMapping } from '../domain/csv-mapping.ts';
import type { CsvProfile } from '../domain/csv-profile.ts';
import { neededTargets, type Target, targets } from '../domain/csv-targets.ts';
import type { Lists } from '../domain/csv-words.ts';
import { FaultSummary, SelectField } from './fields.tsx';
import type { FormState } from './form-input.ts';
import { ImportSteps } from './import-steps.tsx';
import { columnLetter, columnWords, fieldFor, targetLabel } from './import-words.ts';
import { wordsFor } from './words.ts';

interface ImportColumnsProps {
  readonly base: string;
  readonly fileName: string;
  readonly profile: CsvProfile;
  readonly mapping: CsvMapping;
  readonly lists: Lists;
  readonly form: FormState;
}

/** Which column of the file is what. */
export function ImportColumns(props: ImportColumnsProps) {
  const { base, fileName, profile, mapping, form } = props;
  const needed = new Set(neededTargets.flat());
  const [first, more] = [
    targets.filter(({ name }) => needed.has(name)),
    targets.filter(({ name }) => !needed.has(name)),
  ];
  const [chosen, rest] = [
    more.filter(({ name }) => mapping.from[name]),
    more.filter(({ name }) => !mapping.from[name]),
  ];
  const open = rest.some(({ name }) => form.fault(fieldFor(name)));
  return (
    <>
      <ImportSteps base={base} at="columns" fileName={fileName} />
      <p>
        A guess is made from the headings and from what stands below them: look it over. What your file lacks can be the
        same for all its jobs.
      </p>
      <Unused profile={profile} mapping={mapping} />
      <FaultSummary form={form} />
      <form class="stack" method="post" action={`${base}/columns`}>
        <h2>What a job needs</h2>
        <Choices {...props} of={first} />
        <p class="soft">
          Labour is told either in our own form, or by the technician and the time. Several people in one cell share the
          time alike.
        </p>
        {chosen.length > 0 && <h2>Found in your file as well</h2>}
        <Choices {...props} of={chosen} />
        <details class="group" open={open}>
          <summary>What else a file may tell ({rest.length})</summary>
          <Choices {...props} of={rest} />
        </details>
        <button type="submit">On to units and words</button>
      </form>
    </>
  );
}

function Unused({ profile, mapping }: Pick<ImportColumnsProps, 'profile' | 'mapping'>) {
  const used = new Set(Object.values(mapping.from));
  const unused = profile.header.flatMap((heading, at) =>
    used.has(`c${at}`) ? [] : [`${columnLetter(at)} “${heading || 'no heading'}”`],
  );
  if (unused.length === 0) return null;
  return <p>Not used so far: {unused.join(', ')}.</p>;
}

function Choices({ of, ...props }: ImportColumnsProps & { of: readonly Target[] }) {
  const { form, mapping, profile, lists } = props;
  const columns = profile.header.map((_, at) => [`c${at}`, columnWords(profile, at)] as const);
  return (
    <div class="import-choices">
      {of.map((target) => (
        <SelectField
          form={form}
          name={fieldFor(target.name)}
          label={targetLabel(target.name)}
          none="not in the file"
          options={[...columns, ...constants(target, lists)]}
          initial={mapping.from[target.name] ?? ''}
        />
      ))}
    </div>
  );
}

/** What may be the same for all jobs. */
function constants(target: Target, { technicians, machines }: Lists): (readonly [string, string])[] {
  const one = (value: string, words: string) => [`=${value}`, `the same for all: ${words}`] as const;
  if (target.kind === 'words' && !target.many) return (target.words ?? []).map((word) => one(word, wordsFor(word)));
  if (target.kind === 'technician') return technicians.map(({ key, name }) => one(key, name));
  if (target.kind === 'machine') return machines.map(({ key, name }) => one(key, name));
  const counted = target.name === 'count' || target.name.endsWith('_passes') || target.name.endsWith('_rounds');
  return counted ? [0, 1, 2, 3, 4, 5, 6].map((count) => one(String(count), String(count))) : [];
}
