/** One part of the interior in the form of a job: what is judged each time in sight, the rest folded away. */
import type { Technician } from '../domain/lists.ts';
import { BoxesField, ChoiceField, QuantityField, SelectField, StepperField } from './fields.tsx';
import type { FormState } from './form-input.ts';
import type { Units } from './measures.ts';
import {
  areaOptions,
  brushOptions,
  fabricOptions,
  headingFor,
  methodOptions,
  namesOf,
  resultOptions,
  soilOptions,
  stainOptions,
  wordsFor,
} from './words.ts';

interface SectionProps {
  readonly form: FormState;
  readonly units: Units;
  readonly technicians: readonly Technician[];
  readonly i: number;
  readonly removable: boolean;
  /** Where the form is sent. */
  readonly action: string;
}

export function SectionFields({ form, units, technicians, i, removable, action }: SectionProps) {
  const at = (field: string) => `sections.${i}.${field}`;
  const area = form.typed(at('area'));
  const [spotThenExtraction, spot] = [
    form.typed(at('method')) === 'spot-then-extraction',
    form.typed(at('method')) === 'spot',
  ];
  return (
    <fieldset class="group stack" id={`field-sections-${i}`}>
      <legend>{area ? headingFor(area) : `Part ${i + 1}`}</legend>
      <ChoiceField form={form} name={at('soil')} label="Soil before the work" options={soilOptions} />
      <div class="pair">
        <StepperField form={form} name={at('wetPasses')} label={spot ? 'Rounds of spray and wipe' : 'Wet passes'} />
        <StepperField form={form} name={at('dryPasses')} label="Dry passes" />
      </div>
      <ChoiceField form={form} name={at('result')} label="How it came out" options={resultOptions} initial="clean" />
      <details open={form.faults.some(({ pointer }) => inside(pointer, i))}>
        <summary>{partWords(form, i)}</summary>
        <div class="stack">
          <div class="row">
            <SelectField form={form} name={at('area')} label="Part" options={areaOptions} />
            <StepperField form={form} name={at('count')} label="Pieces" initial={1} />
          </div>
          <SelectField form={form} name={at('fabric')} label="Fabric" options={fabricOptions} />
          <ChoiceField form={form} name={at('method')} label="Method" options={methodOptions} />
          <StepperField
            form={form}
            name={at('spotRounds')}
            label="Spot rounds before the extraction"
            hint={spotThenExtraction ? undefined : 'Only for spot, then extraction.'}
          />
          <SelectField form={form} name={at('brush')} label="Brush" options={brushOptions} none="not noted" />
          <BoxesField form={form} name={at('stains')} label="Stains" options={stainOptions} />
          <QuantityField
            form={form}
            name={at('surfaceM2')}
            label="Surface, if measured"
            quantity="surfaceM2"
            units={units}
          />
          <div class="row">
            <QuantityField
              form={form}
              name={at('sprayedLitres')}
              label="Sprayed on this part"
              quantity="litres"
              units={units}
            />
            <QuantityField
              form={form}
              name={at('recoveredLitres')}
              label="Got back from it"
              quantity="litres"
              units={units}
            />
          </div>
          <SelectField
            form={form}
            name={at('technician')}
            label="Who worked on it"
            options={namesOf(technicians)}
            none="whoever had the most minutes"
          />
          {removable && (
            <button
              type="submit"
              name="reshape"
              value={`sections ${i}`}
              class="second"
              formaction={`${action}#field-sections-${Math.max(0, i - 1)}`}
              formnovalidate
            >
              Take this part away
            </button>
          )}
        </div>
      </details>
    </fieldset>
  );
}

/** What is folded away, in a line. */
function partWords(form: FormState, i: number): string {
  const word = (field: string) => form.typed(`sections.${i}.${field}`) ?? '';
  const [count, fabric, method] = [word('count') || '1', word('fabric'), word('method')];
  const said = [`${count} ×`, wordsFor(fabric), method && `by ${wordsFor(method)}`].filter((part) => part !== '');
  return `${said.join(' ')}; stains, brush, more`;
}

/** Faults in what is folded away, so that it is opened; soil and passes are seen anyway. */
function inside(pointer: string, i: number): boolean {
  return pointer.startsWith(`/sections/${i}/`) && !/\/(soil|wetPasses|dryPasses|result)$/.test(pointer);
}
