import type { RuleModel } from '../insight/rules/rule-figures.ts';
import type { RuleLine } from '../insight/rules/rule-lines.ts';
import { isBeyond, rulesSentence } from '../insight/rules/rules-sentence.ts';
import type { Formats } from './format.ts';
import { Notice } from './notice.tsx';
import { FigureChoice } from './trust-choice.tsx';
import { effortWords, ruleModelNames, ruleText } from './trust-rule-words.ts';
import { RulesFigure } from './trust-rules-figure.tsx';

interface RulesProps {
  /** Of all models. */
  readonly lines: readonly RuleLine[];
  readonly model: RuleModel;
  readonly stored: 'stored' | 'unchanged' | undefined;
  readonly formats: Formats;
}

/** What the program believes before a shop's first record, what the records made of it, and the way to adjust it. */
export function RulesPage({ lines, model, stored, formats }: RulesProps) {
  const shown = lines.filter((line) => line.model === model);
  return (
    <>
      <p class="answer">{rulesSentence(lines)}</p>
      {stored === 'unchanged' && (
        <Notice kind="note">
          <p>Nothing was changed, so the rule stays as it was.</p>
        </Notice>
      )}
      {stored === 'stored' && (
        <Notice kind="done">
          <p>
            Stored. It counts from the next night on, or once you let the program <a href="/findings/fits">learn now</a>
            .
          </p>
        </Notice>
      )}
      <p>
        The rules of thumb are common practice, with no published source. Estimates begin from them and move to your own
        records as these build up.
      </p>
      <FigureChoice
        label="Which figure"
        choices={Object.entries(ruleModelNames).map(([name, text]) => ({
          href: `/findings/rules?figure=${name}`,
          text,
          isHere: name === model,
        }))}
      />
      <RulesFigure
        title={`${ruleModelNames[model]}: rules of thumb, and what our records made of them`}
        lines={shown}
        csv="/findings/rules.csv"
        formats={formats}
      />
      {model === 'passes' && <p>{effortWords}</p>}
      <RulesTable lines={shown} model={model} formats={formats} />
    </>
  );
}

function RulesTable({ lines, model, formats }: { lines: readonly RuleLine[]; model: RuleModel; formats: Formats }) {
  const caption = `${ruleModelNames[model]}: each rule with the range that holds nine times in ten`;
  return (
    <section class="scroll" tabindex={0} aria-label={caption}>
      <table>
        <caption>
          {caption}
          {measureWords[model]}
        </caption>
        <thead>
          <tr>
            <th scope="col">The rule; open it to adjust it</th>
            <th scope="col">As a figure</th>
            <th scope="col">Our records say</th>
          </tr>
        </thead>
        <tbody>
          {lines.map((line) => (
            <tr>
              <th scope="row">
                <a href={`/findings/rules/${line.id}`}>{line.statement}</a>
              </th>
              <td>
                {ruleText(line.rule, line.measure, formats)}
                {line.isAdjusted && <Remark text="adjusted by you" />}
              </td>
              <td>
                {line.data === undefined ? 'nothing yet' : ruleText(line.data, line.measure, formats)}
                {isBeyond(line) && <Remark text="beyond the rule" />}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

function Remark({ text }: { text: string }) {
  return (
    <>
      <br />
      <span class="soft">{text}</span>
    </>
  );
}

const measureWords: Readonly<Record<RuleModel, string>> = {
  passes: '. × 1.5 is half as much effort again; a share is of people',
  labour: '. × 1.5 is half as many hours again',
  water: '. × 1.5 is half as much water again',
  drying: '. × 1.5 is half as long again',
  'giving-up': ': of a hundred parts that are not clean by then, how many are left so',
};
