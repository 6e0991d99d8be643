import type { RuleAsked } from '../insight/rules/rule-adjustment.ts';
import type { RuleLine } from '../insight/rules/rule-lines.ts';
import { FaultSummary, NumberField, QuantityField } from './fields.tsx';
import type { FormState } from './form-input.ts';
import type { Formats } from './format.ts';
import { factorWords, ruleText } from './trust-rule-words.ts';

interface RuleProps {
  readonly line: RuleLine;
  /** The same as the program has it. */
  readonly programs: RuleLine;
  readonly asked: RuleAsked;
  readonly form: FormState;
  readonly formats: Formats;
}

/** One rule of thumb: what it says, what the records say, and a form to say it otherwise. */
export function RulePage({ line, programs, asked, form, formats }: RuleProps) {
  const { id, model, statement, measure } = line;
  return (
    <>
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
      </p>
      <FaultSummary form={form} />
      <form class="stack" method="post" action={`/findings/rules/${id}`}>
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

function RuleFields({ line: { id, measure, kind }, asked, form, formats }: FieldsProps) {
  const ofPeople = id === 'passes.second';
  const middle = { form, name: 'middle', required: true } as const;
  return (
    <>
      {measure === 'L/m²' ? (
        <QuantityField
          {...middle}
          label="In the middle"
          quantity="litresPerM2"
          units={formats.units}
          initial={asked.middle}
        />
      ) : (
        <NumberField {...middle} {...middleWords[ofPeople ? 'people' : measure]} initial={asked.middle} />
      )}
      {asked.within !== undefined && (
        <NumberField
          form={form}
          name="within"
          required
          initial={asked.within}
          digits={kind === 'chance' ? 1 : 3}
          {...withinWords[ofPeople ? 'people' : kind === 'chance' ? 'chance' : 'factor']}
        />
      )}
    </>
  );
}

const middleWords = {
  factor: {
    label: 'In the middle',
    unit: 'times',
    hint: '1.5 is half as much again, 0.5 half as much, 1 no difference.',
  },
  passes: { label: 'In the middle', unit: 'passes' },
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
