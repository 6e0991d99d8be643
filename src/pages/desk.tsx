import type { PlannedJobInput } from '../domain/planned.ts';
import type { GivenEstimate } from '../insight/given-estimate.ts';
import { EstimateView } from './desk-estimate.tsx';
import { PlanForm, type PlanFormProps } from './desk-form.tsx';
import { FaultSummary } from './fields.tsx';
import type { FormState } from './form-input.ts';
import type { Formats } from './format.ts';

/** What came of the plan as it stands: an estimate with what it was asked for, or the form with its faults. */
export interface Drafted {
  readonly estimate: GivenEstimate;
  readonly plan: PlannedJobInput;
}

interface DeskProps extends PlanFormProps {
  readonly drafted: Drafted | undefined;
  readonly formats: Formats;
  readonly timeZone: string;
}

/** The plan beside its estimate; the script puts a new one in place as the plan is typed. */
export function Desk({ drafted, formats, timeZone, ...plan }: DeskProps) {
  return (
    <div class="desk">
      <div>
        <PlanForm {...plan} />
        <p id="estimate-says" aria-live="polite" />
      </div>
      <section id="estimate" aria-label="The estimate" tabindex={-1}>
        <div id="estimate-place">
          {drafted ? (
            <EstimateView {...drafted} formats={formats} timeZone={timeZone} />
          ) : (
            <FaultSummary form={plan.form} />
          )}
        </div>
      </section>
    </div>
  );
}

/** While something is missing or half typed: what it is, without alarm. */
export function NotYet({ form }: { form: FormState }) {
  return (
    <div class="notice note" data-says={form.faults.map(({ message }) => message).join('. ')}>
      <p>No estimate yet:</p>
      <ul>
        {form.faults.map(({ message, pointer }) => (
          <li>
            <a href={`#field-${pointer.slice(1).replaceAll('/', '-')}`}>{message}</a>
          </li>
        ))}
      </ul>
    </div>
  );
}
