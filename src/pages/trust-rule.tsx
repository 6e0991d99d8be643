import type { RuleAsked } from '../insight/rules/rule-adjustment.ts';
import type { RuleLine } from '../insight/rules/rule-lines.ts';
import { asTyped, FaultSummary, NumberField, QuantityField, quantityAsTyped } from './fields.tsx';
import type { FormState } from './form-input.ts';
import type { ChangedField, Shown } from './form-meanwhile.ts';
import type { Formats } from './format.ts';
import { FirstShown, Meanwhile } from './meanwhile.tsx';
import type { Units } from './measures.ts';
import { effortWords, factorWords, ruleText } from './trust-rule-words.ts';

interface RuleProps {
  readonly line: RuleLine;
  /** The same as the program has it. */
  readonly programs: RuleLine;
  readonly asked: RuleAsked;
  readonly form: FormState;
  /** What others stored since the form was shown. */
  readonly changes: readonly ChangedField[];
  readonly formats: Formats;
}

/** One rule of thumb: what it says, what the records say, and a form to say it otherwise. */
export function RulePage({ line, programs, asked, form, changes, formats }: RuleProps) {
  const { id, model, statement, measure } = line;
  const { middle, within } = wordsOf(line);
  const labels = { middle: middle.label, within: within.label };
  return (
    <>
      <Meanwhile changes={changes} labels={labels} href={`/findings/rules/${id}`} />
      <p class="answer">{statement}.</p>
      <dl class="facts">
        <dt>The program’s own</dt>
        <dd>{ruleText(programs.rule, measure, formats)}</dd>
        {line.isAdjusted && (
          <>
            <dt>As you adjusted it</dt>
            <dd>{ruleText(line.rule, measure, formats)}</dd>
          </>
        )}
        <dt>Our records say</dt>
        <dd>{line.data === undefined ? 'nothing yet' : ruleText(line.data, measure, formats)}</dd>
        <dt>Where it is from</dt>
        <dd>{line.isAdjusted ? 'you' : 'common practice, no published source'}</dd>
      </dl>
      <p class="soft">
        In brackets the range that holds nine times in ten.
        {measure === 'factor' && ` × ${formats.number(line.rule.p50, 2)} is ${factorWords(line.rule.p50, formats)}.`}
        {measure === 'passes' && ` ${effortWords}`}
      </p>
      <FaultSummary form={form} />
      <form class="stack" method="post" action={`/findings/rules/${id}`}>
        <FirstShown shown={ruleShown(line, asked, formats.units)} />
        <RuleFields line={line} asked={asked} form={form} formats={formats} />
        <p class="hint">It counts from the next night on. Records outweigh it as they build up.</p>
        <button type="submit">Store</button>
      </form>
      {line.isAdjusted && (
        <form method="post" action={`/findings/rules/${id}/reset`}>
          <button type="submit" class="second">
            Back to the program’s own
          </button>
        </form>
      )}
      <p class="alone">
        <a href={`/findings/rules?figure=${model}`}>Back without storing</a>
      </p>
    </>
  );
}

type FieldsProps = Pick<RuleProps, 'line' | 'asked' | 'form' | 'formats'>;

function RuleFields({ line, asked, form, formats }: FieldsProps) {
  const words = wordsOf(line);
  const middle = { form, name: 'middle', required: true } as const;
  return (
    <>
      {line.measure === 'L/m²' ? (
        <QuantityField
          {...middle}
          {...words.middle}
          quantity="litresPerM2"
          units={formats.units}
          initial={asked.middle}
        />
      ) : (
        <NumberField {...middle} {...words.middle} initial={asked.middle} />
      )}
      {asked.within !== undefined && (
        <NumberField
          form={form}
          name="within"
          required
          initial={asked.within}
          digits={withinDigits(line)}
          {...words.within}
        />
      )}
    </>
  );
}

/** What the fields show of a rule. */
export function ruleShown(line: RuleLine, { middle, within }: RuleAsked, units: Units): Shown {
  const isWater = line.measure === 'L/m²';
  return {
    middle: (isWater ? quantityAsTyped('litresPerM2', units, middle) : asTyped(middle)) ?? '',
    ...(within !== undefined && { within: asTyped(within, withinDigits(line)) ?? '' }),
  };
}

function withinDigits({ kind }: RuleLine): number {
  return kind === 'chance' ? 1 : 3;
}

function wordsOf({ id, measure, kind }: RuleLine) {
  const ofPeople = id === 'passes.second' ? 'people' : undefined;
  return {
    middle: middleWords[ofPeople ?? measure],
    within: withinWords[ofPeople ?? (kind === 'chance' ? 'chance' : 'factor')],
  };
}

const middleWords = {
  factor: {
    label: 'In the middle',
    unit: 'times',
    hint: '1.5 is half as much again, 0.5 half as much, 1 no difference.',
  },
  passes: { label: 'In the middle', unit: 'passes of effort' },
  'L/m²': { label: 'In the middle' },
  apart: {
    label: 'How far apart in the middle',
    unit: 'times',
    hint: '1.1 means that one is typically a tenth above or below another.',
  },
  chance: { label: 'Left although not clean', unit: 'of 100' },
  people: { label: 'People who do', unit: 'of 100' },
} as const;

const withinWords = {
  factor: {
    label: 'Nine times in ten within',
    unit: 'times, up or down',
    hint: '1.2 is rather sure, 2 is a guess: between half and twice as much.',
  },
  chance: {
    label: 'As sure as after',
    unit: 'parts seen',
    hint: 'How many parts one would have seen to be as sure; ten is little.',
  },
  people: {
    label: 'As sure as after',
    unit: 'people known',
    hint: 'How many people one would have known to be as sure; ten is little.',
  },
} as const;
