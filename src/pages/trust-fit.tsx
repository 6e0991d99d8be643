import type { Child } from 'hono/jsx';
import type { ModelName } from '../domain/doubts.ts';
import { levelsInWords } from '../insight/level-words.ts';
import { nightInWords } from '../insight/night-words.ts';
import type { FitReading, ModelReading } from '../insight/rules/fit-reading.ts';
import { ruleLines } from '../insight/rules/rule-lines.ts';
import { datesInWords } from './dates-in-words.ts';
import { FaultSummary, TextField } from './fields.tsx';
import { NumbersTable } from './figure.tsx';
import type { FormState } from './form-input.ts';
import type { Formats } from './format.ts';
import { Notice } from './notice.tsx';
import { FigureChoice } from './trust-choice.tsx';
import { type FitLine, statusWords } from './trust-fits.tsx';
import { RulesFigure } from './trust-rules-figure.tsx';
import { figureNames } from './trust-words.ts';
import { counted } from './words.ts';

interface FitProps {
  readonly fit: FitLine;
  /** Undefined where it failed, or another version of the program made it. */
  readonly reading: FitReading | undefined;
  readonly model: ModelName;
  readonly form: FormState;
  readonly isOwner: boolean;
  /** Names of technicians and machines by key. */
  readonly names: ReadonlyMap<string, string>;
  readonly decided: boolean;
  readonly formats: Formats;
}

/** One fit in full: what became of it, and what it holds. */
export function FitPage({ fit, reading, model, form, isOwner, names, decided, formats }: FitProps) {
  return (
    <>
      <p class="answer">{answerOf(fit, formats)}</p>
      {decided && (
        <Notice kind="done">
          <p>Done, and written down with the fit.</p>
        </Notice>
      )}
      <FaultSummary form={form} />
      <dl class="facts">
        <dt>Learnt</dt>
        <dd>
          {formats.date(fit.finishedAt)}, {formats.time(fit.finishedAt)}
        </dd>
        <dt>Finished jobs</dt>
        <dd>{formats.number(fit.nJobs)}</dd>
        <dt>What became of it</dt>
        <dd>{statusWords[fit.status]}</dd>
        {fit.reason && (
          <>
            <dt>Why</dt>
            <dd>{fit.reason}</dd>
          </>
        )}
      </dl>
      {isOwner && <Decision fit={fit} form={form} />}
      <h2>What it holds</h2>
      {reading ? (
        <Holding {...{ fit, reading, model, isOwner, names, formats }} />
      ) : (
        <p>
          {fit.status === 'failed'
            ? 'Nothing: it could not be made.'
            : 'It was made by another version of the program, which this one does not read.'}
        </p>
      )}
      <p class="alone">
        <a href="/findings/fits">All fits</a>
      </p>
    </>
  );
}

/** While a run goes on: the page is asked for again by itself. */
export function RunningPage({ startedAt, formats }: { startedAt: Date; formats: Formats }) {
  return (
    <>
      <p class="answer">Learning since {formats.time(startedAt)}: this page looks again every five seconds.</p>
      <p>You may leave it; the outcome will stand among the fits.</p>
      <p class="alone">
        <a href="/findings/fits">All fits</a>
      </p>
    </>
  );
}

function answerOf({ status, nJobs }: FitLine, formats: Formats): string {
  const jobs = counted(nJobs, 'finished job', formats);
  switch (status) {
    case 'published':
      return `Estimates come from this fit, learnt from ${jobs}.`;
    case 'superseded':
      return `Estimates came from this fit, learnt from ${jobs}, until a later one replaced it.`;
    case 'refused':
      return `This fit, learnt from ${jobs}, was not published: the reason stands below.`;
    case 'withdrawn':
      return `This fit, learnt from ${jobs}, was taken out of use by hand.`;
    case 'failed':
      return `No fit could be made of ${jobs}: the reason stands below.`;
  }
}

/** Publishing one that the night did not, or withdrawing the one in use. */
function Decision({ fit: { fitId, status }, form }: { fit: FitLine; form: FormState }) {
  if (status === 'failed') return null;
  const what = status === 'published' ? 'withdraw' : 'publish';
  const words = {
    withdraw: 'Estimates then come from the rules of thumb until another fit is published.',
    publish: 'Estimates then come from this fit until the records change and the night publishes another.',
  }[what];
  return (
    <details open={form.faults.length > 0}>
      <summary>{what === 'withdraw' ? 'Take it out of use' : 'Use it all the same'}</summary>
      <form class="stack" method="post" action={`/findings/fits/${fitId}/${what}`}>
        <p>{words} Your name, the time and your reason are written down with the fit.</p>
        <TextField
          form={form}
          name="why"
          label="Why?"
          hint="In a few words, up to 200 letters; it may stay empty."
          maxlength={200}
        />
        <button type="submit">{what === 'withdraw' ? 'Withdraw' : 'Publish'}</button>
      </form>
    </details>
  );
}

interface HoldingProps extends Pick<FitProps, 'fit' | 'model' | 'isOwner' | 'names' | 'formats'> {
  readonly reading: FitReading;
}

function Holding({ fit: { fitId }, reading, model, isOwner, names, formats }: HoldingProps) {
  const read = reading.models[model];
  const lines = ruleLines(
    reading.rules.filter((rule) => rule.model === model),
    reading,
  );
  const leftOut = read.leftOut.length;
  const night = nightInWords(read.terms);
  return (
    <>
      <FigureChoice
        label="Which figure"
        choices={Object.entries(figureNames).map(([name, text]) => ({
          href: `/findings/fits/${fitId}?figure=${name}`,
          text,
          isHere: name === model,
        }))}
      />
      <p>
        {counted(read.recordsUsed, 'job', formats)}
        {recordWords[model]} read, {formats.number(leftOut)} left out
        {leftOut > 0 && ' (nothing measured, or more likely a slip of the pen)'}.
      </p>
      {levelsInWords(model, read.terms).map((text) => (
        <p>{datesInWords(text, formats)}</p>
      ))}
      {night && <p>{night}</p>}
      <RulesFigure
        title={`${figureNames[model]}: rules of thumb, and what the records made of them`}
        lines={lines}
        csv={`/findings/fits/${fitId}/numbers.csv`}
        formats={formats}
      />
      {isOwner && <Effects read={read} names={names} formats={formats} />}
    </>
  );
}

const recordWords: Readonly<Record<ModelName, string>> = {
  passes: '',
  labour: '',
  water: ' with water measured',
  drying: ' with drying checks',
};

function Effects({ read, names, formats }: { read: ModelReading; names: FitProps['names']; formats: Formats }) {
  const line = ({ key, p05, p50, p95 }: ModelReading['technicians'][number]) => {
    const [low, middle, high] = [p05, p50, p95].map((value) => formats.number(Math.exp(value), 2));
    return [names.get(key) ?? key, `× ${middle}`, `${low} to ${high}`];
  };
  const table = (caption: string, effects: ModelReading['technicians']): Child =>
    effects.length > 0 && (
      <NumbersTable
        caption={caption}
        table={{ columns: ['Who or what', 'Middle', '90 % range'], rows: effects.map(line) }}
      />
    );
  return (
    <>
      {table('Technicians, as a factor at the same work: for coaching; few jobs prove little', read.technicians)}
      {table('Machines, as a factor within their grade', read.machines)}
    </>
  );
}
