import { type CsvMapping, columnOf, leftOut, wordsToAsk } from '../domain/csv-mapping.ts';
import type { CsvProfile } from '../domain/csv-profile.ts';
import { neededTargets, type Target, targets } from '../domain/csv-targets.ts';
import { type DayOrder, readDay } from '../domain/csv-when.ts';
import { guessWord, type Lists, mostWords, rowsWith } from '../domain/csv-words.ts';
import { ChoiceField, FaultSummary, SelectField, TextField } from './fields.tsx';
import type { FormState } from './form-input.ts';
import { ImportSteps } from './import-steps.tsx';
import { columnWords, fieldFor, inRows, targetLabel, unitOptions } from './import-words.ts';
import { Notice } from './notice.tsx';
import { namesOf, wordsFor } from './words.ts';

interface ImportValuesProps {
  readonly base: string;
  readonly fileName: string;
  readonly profile: CsvProfile;
  readonly mapping: CsvMapping;
  readonly lists: Lists;
  readonly timeZone: string;
  readonly form: FormState;
}

/** How what stands in the columns is read: units, days, words. */
export function ImportValues(props: ImportValuesProps) {
  const { base, fileName, mapping, form, profile } = props;
  const inFile = targets.filter(({ name }) => columnOf(mapping, name) !== undefined);
  const withUnits = inFile.filter(({ measured }) => measured);
  const withWords = inFile.filter(({ name }) => (mapping.words[name] ?? []).length > 0);
  return (
    <>
      <ImportSteps base={base} at="values" fileName={fileName} />
      <FaultSummary form={form} />
      <Unknown mapping={mapping} />
      <form class="stack" method="post" action={`${base}/values`}>
        <h2>Days and numbers</h2>
        <Days {...props} />
        {profile.columns.some(({ commas }) => commas > 0) && <DecimalSign form={form} mapping={mapping} />}
        {withUnits.length > 0 && <h2>Units</h2>}
        <div class="import-choices">
          {withUnits.map((target) => (
            <SelectField
              form={form}
              name={`unit-${fieldFor(target.name)}`}
              label={targetLabel(target.name)}
              hint={columnWords(profile, columnOf(mapping, target.name) ?? 0)}
              options={unitOptions(target)}
              initial={mapping.units[target.name]}
            />
          ))}
        </div>
        {withWords.length > 0 && <h2>Words</h2>}
        {withWords.map((target) => (
          <Words {...props} target={target} />
        ))}
        <button type="submit">Check every line</button>
      </form>
    </>
  );
}

/** Only asked where a day can be read both ways, or is told without its time. */
function Days({ form, mapping, profile, timeZone }: ImportValuesProps) {
  const column = profile.columns[columnOf(mapping, 'finished_at') ?? -1];
  if (!column) return null;
  const twoWays = column.words.find((word) => {
    const [a, b] = [readDay(word, 'day-month'), readDay(word, 'month-day')];
    return a !== undefined && b !== undefined && a.day !== b.day;
  });
  const sample = twoWays ?? column.words.find((word) => readDay(word, mapping.dayOrder));
  return (
    <>
      <p>
        Days and times are read as those of the shop’s clock, {timeZone.replaceAll('_', ' ')}, unless they name an
        offset.
      </p>
      {twoWays !== undefined && sample !== undefined && (
        <ChoiceField
          form={form}
          name="dayOrder"
          label={`What day is ${sample}?`}
          options={[
            ['day-month', dayWords(sample, 'day-month')],
            ['month-day', dayWords(sample, 'month-day')],
          ]}
          initial={mapping.dayOrder}
          required
        />
      )}
      <TextField
        form={form}
        name="endOfDay"
        label="When a job ended whose time is not told"
        hint="Hours and minutes, such as 17:00. Drying is reckoned from there."
        initial={mapping.endOfDay}
        maxlength={5}
        required
      />
    </>
  );
}

function dayWords(cell: string, order: DayOrder): string {
  const read = readDay(cell, order);
  if (!read) return '–';
  const form = { day: 'numeric', month: 'long', year: 'numeric', timeZone: 'UTC' } as const;
  return new Intl.DateTimeFormat('en-GB', form).format(new Date(`${read.day}T00:00:00Z`));
}

function DecimalSign({ form, mapping }: { form: FormState; mapping: CsvMapping }) {
  return (
    <ChoiceField
      form={form}
      name="decimal"
      label="What is 3,5?"
      options={[
        ['comma', 'three and a half'],
        ['point', 'no number'],
      ]}
      initial={mapping.decimal}
      required
    />
  );
}

/** What is asked for stands first among the words of its column. */
function Unknown({ mapping }: { mapping: CsvMapping }) {
  const asked = wordsToAsk(mapping);
  if (asked.length === 0) return null;
  const columns = [...new Set(asked.map(({ target }) => targetLabel(target)))].join('; ');
  return (
    <Notice kind="caution">
      <p>
        {asked.length === 1 ? 'One word is' : `${asked.length} words are`} not known here and asked for below, before
        the lines can be checked. In: {columns}.
      </p>
    </Notice>
  );
}

function Words({ target, form, mapping, profile, lists }: ImportValuesProps & { target: Target }) {
  const pairs = mapping.words[target.name] ?? [];
  const column = profile.columns[columnOf(mapping, target.name) ?? -1];
  const more = column?.more || pairs.length >= mostWords;
  const name = fieldFor(target.name);
  const placed = pairs.map(([word, meant], i) => ({ word, meant, i }));
  const askedFirst = [...placed.filter(({ meant }) => meant === ''), ...placed.filter(({ meant }) => meant !== '')];
  return (
    <fieldset class="group">
      <legend>{targetLabel(target.name)}</legend>
      {more && (
        <Notice kind="caution">
          <p>So many different words stand in this column that not all are listed: is it the right one?</p>
        </Notice>
      )}
      <div class="import-choices">
        {askedFirst.map(({ word, meant, i }) => (
          <SelectField
            form={form}
            name={`word-${name}.${i}`}
            label={`“${word}” is`}
            hint={`${meant === '' ? 'Not known here: choose what it means. ' : ''}${inRows(column ? rowsWith(target, column, word) : 0)}`}
            none={meant === '' ? 'choose' : undefined}
            options={[...meanings(target, lists, word), [leftOut, withoutIt(target)]]}
            initial={meant}
            required
          />
        ))}
      </div>
    </fieldset>
  );
}

/** What becomes of the rows of a word that is left out. */
function withoutIt({ name, many }: Target): string {
  if (name === 'result') return 'left out: counts as clean';
  if (name === 'seats_removed') return 'left out: counts as no';
  const isNeeded = !many && neededTargets.some((together) => together.includes(name));
  return isNeeded ? 'left out: its jobs are refused' : 'left out: as if nothing stood there';
}

/** The words of the list; for people and machines also a new one, named as in the file. */
function meanings(target: Target, lists: Lists, word: string): readonly (readonly [string, string])[] {
  const { kind, words = [] } = target;
  if (kind === 'words') return words.map((one) => [one, wordsFor(one)] as const);
  const list = kind === 'technician' ? lists.technicians : lists.machines;
  const known = namesOf(list);
  const fresh = guessWord(target, word, { technicians: [], machines: [] });
  const isNew = fresh !== undefined && !list.some(({ key }) => key === fresh);
  return isNew ? [[fresh, `not on the list yet: ${fresh}`], ...known] : known;
}
