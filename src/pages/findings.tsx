import { datesInWords } from './dates-in-words.ts';
import type { Formats } from './format.ts';

/** Sunday's ten minutes: each question with its answer, and the way to what stands behind it. */
export function Findings({ answers, formats }: { answers: readonly Finding[]; formats: Formats }) {
  return (
    <>
      {answers.map(({ question, answer, href }) => (
        <section>
          <h2>
            <a href={href}>{question}</a>
          </h2>
          <p>{datesInWords(answer, formats)}</p>
        </section>
      ))}
    </>
  );
}

export interface Finding {
  readonly question: string;
  readonly answer: string;
  readonly href: string;
}
