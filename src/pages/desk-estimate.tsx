import type { PlannedJobInput } from '../domain/planned.ts';
import type { GivenEstimate } from '../insight/given-estimate.ts';
import { Drivers } from './desk-drivers.tsx';
import { Alternatives } from './desk-others.tsx';
import { Passes } from './desk-passes.tsx';
import { ReadyByFigure } from './desk-ready-by.tsx';
import { eightOfTen, inOneLine, oneIn, originOf, promise } from './desk-words.ts';
import type { Formats } from './format.ts';
import { Notice } from './notice.tsx';
import { capital, counted } from './words.ts';

export interface EstimateProps {
  readonly estimate: GivenEstimate;
  /** What was asked: the start, and how many work at once. */
  readonly plan: PlannedJobInput;
  readonly formats: Formats;
  readonly timeZone: string;
}

/** An estimate as the desk sees it, as it is typed in or as it was given. */
export function EstimateView({ estimate, plan, formats, timeZone }: EstimateProps) {
  return (
    <div class="estimate" data-says={inOneLine(estimate, formats)}>
      <KeyFigures estimate={estimate} formats={formats} />
      <ReadyByFigure {...{ estimate, plan, formats, timeZone }} />
      <Passes estimate={estimate} plan={plan} formats={formats} />
      <Drivers estimate={estimate} formats={formats} />
      <Alternatives estimate={estimate} formats={formats} />
      <Surer estimate={estimate} />
      <Comebacks estimate={estimate} formats={formats} />
      <Cautions estimate={estimate} />
      <Basis estimate={estimate} formats={formats} />
    </div>
  );
}

function KeyFigures({ estimate, formats }: Pick<EstimateProps, 'estimate' | 'formats'>) {
  const { quote, labourHours, dryHours, waterLPerM2, readyBy } = estimate;
  const hours = `${formats.number(quote.hours, 2)} h`;
  return (
    <dl class="figures">
      <div>
        <dt>Price</dt>
        <dd>{formats.money(quote.price)}</dd>
        <dd class="soft">
          {hours} at {formats.money(quote.labourRate)} and {formats.money(quote.materials)} for materials. Runs over
          these hours: {oneIn(quote.risk)} such jobs.
        </dd>
      </div>
      <div>
        <dt>Work</dt>
        <dd>{eightOfTen(labourHours, formats)}</dd>
        <dd class="soft">
          Person-hours in 8 of 10 such jobs, half of them under {formats.number(labourHours.p50, 1)} h.{' '}
          {sentence(originOf(labourHours, formats))}
        </dd>
      </div>
      <div>
        <dt>Ready by</dt>
        <dd>{readyBy === null ? 'no start given' : promise(readyBy, formats)}</dd>
        <dd class="soft">
          {readyBy === null ? '' : 'Kept by 9 of 10 such jobs, if work goes on without a break. '}
          Dries {eightOfTen(dryHours, formats)} after the work in 8 of 10. {sentence(originOf(dryHours, formats))}
        </dd>
      </div>
      <div>
        <dt>Water left in</dt>
        <dd>{formats.quantityRange('litresPerM2', waterLPerM2.p10, waterLPerM2.p90)}</dd>
        <dd class="soft">In the wettest part, in 8 of 10 such jobs. {sentence(originOf(waterLPerM2, formats))}</dd>
      </div>
    </dl>
  );
}

/** What is worth asking: of what is open, the piece that would narrow a range most, and then the others. */
function Surer({ estimate: { wouldNarrow = [] } }: Pick<EstimateProps, 'estimate'>) {
  const [most, ...others] = wouldNarrow;
  if (most === undefined) return null;
  return (
    <section>
      <h2>What would make it surer</h2>
      <p>{most.text}</p>
      {others.length > 0 && (
        <details>
          <summary>What else</summary>
          <ul>
            {others.map(({ text }) => (
              <li>{text}</li>
            ))}
          </ul>
        </details>
      )}
    </section>
  );
}

function Comebacks({ estimate: { comebackRisk }, formats }: Pick<EstimateProps, 'estimate' | 'formats'>) {
  const { chance, p05, p95, source } = comebackRisk;
  const percent = (value: number) => formats.number(value * 100, value < 0.1 ? 1 : 0);
  return (
    <p>
      <b>Comes back later:</b> {percent(chance)} of 100 such jobs, for what stayed in the cloth (9 in 10 sure: between{' '}
      {percent(p05)} and {percent(p95)}). <span class="soft">{sentence(source)}</span>
    </p>
  );
}

function Cautions({ estimate: { cautions } }: Pick<EstimateProps, 'estimate'>) {
  return (
    <Notice kind="caution">
      <ul>
        {cautions.map(({ text, because }) => (
          <li>
            {text} <span class="soft">({because})</span>
          </li>
        ))}
      </ul>
    </Notice>
  );
}

function Basis({ estimate: { jobsLearntFrom }, formats }: Pick<EstimateProps, 'estimate' | 'formats'>) {
  return (
    <p class="soft">
      {jobsLearntFrom === 0
        ? 'By common rules of thumb alone: no finished job of this shop has been learnt from yet.'
        : `From the rules of thumb and ${counted(jobsLearntFrom, 'finished job', formats)} of this shop.`}
    </p>
  );
}

function sentence(text: string): string {
  return `${capital(text)}.`;
}
