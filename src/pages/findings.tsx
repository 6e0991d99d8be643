/** Sunday's ten minutes: each question with its answer, and the way to what stands behind it. */
export function Findings({ answers }: { answers: readonly Finding[] }) {
  return (
    <>
      {answers.map(({ question, answer, href }) => (
        <section>
          <h2>
            <a href={href}>{question}</a>
          </h2>
          <p>{answer}</p>
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
