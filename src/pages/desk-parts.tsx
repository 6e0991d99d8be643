/** The parts of the interior on the form of the desk: a line for each area, and some for what needs a line of its own. */
import { areas } from '../domain/vocabulary.ts';
import { blankLine, type PlanLine } from './desk-plan.ts';
import { BoxesField, CheckField, NumberField, QuantityField, SelectField } from './fields.tsx';
import type { FormState } from './form-input.ts';
import type { Units } from './measures.ts';
import {
  areaOptions,
  brushOptions,
  fabricOptions,
  headingFor,
  methodOptions,
  soilOptions,
  stainOptions,
} from './words.ts';

interface PartsProps {
  readonly form: FormState;
  readonly units: Units;
  readonly lines: readonly PlanLine[];
}

export function Parts({ form, units, lines }: PartsProps) {
  const wrong = form.fault('sections');
  const shown = [...lines, ...blanksFor(form, lines.length)];
  return (
    <fieldset class="group parts" id="field-sections">
      <legend>What is cleaned</legend>
      {wrong && <p class="wrong">{wrong.message}</p>}
      {shown.slice(0, areas.length).map((line, i) => (
        <Part {...{ form, units, line }} at={`sections.${i}`} />
      ))}
      {/* Beyond the areas stands one blank line; more than that is filled in. */}
      <details open={shown.length > areas.length + 1}>
        <summary>An area in two parts</summary>
        <p class="hint">Where one seat is much dirtier than the other, or of another cloth.</p>
        {shown.slice(areas.length).map((line, i) => (
          <ExtraPart {...{ form, units, line }} at={`sections.${areas.length + i}`} />
        ))}
      </details>
    </fieldset>
  );
}

/** As many as were sent filled in, and one to fill in. */
function blanksFor(form: FormState, from: number): PlanLine[] {
  let filled = 0;
  while (form.typed(`sections.${from + filled}.area`)) filled += 1;
  return Array.from({ length: filled + 1 }, () => blankLine);
}

interface PartProps {
  readonly form: FormState;
  readonly units: Units;
  readonly line: PlanLine;
  readonly at: string;
}

function Part({ form, units, line, at }: PartProps) {
  const area = line.area ?? 'front-seat';
  return (
    // biome-ignore lint/a11y/useSemanticElements: the tick is the group's own heading, which a legend cannot hold
    <div class="part" role="group" aria-label={headingFor(area)}>
      <CheckField form={form} name={`${at}.cleaned`} label={headingFor(area)} initial={line.cleaned} />
      <input type="hidden" name={`${at}.area`} value={area} />
      <PartDetails {...{ form, units, line, at }} />
    </div>
  );
}

function ExtraPart({ form, units, line, at }: PartProps) {
  return (
    <div class="part">
      <div class="which">
        <SelectField form={form} name={`${at}.area`} label="Area" options={areaOptions} initial={line.area} none="–" />
      </div>
      <PartDetails {...{ form, units, line, at }} />
    </div>
  );
}

function PartDetails({ form, units, line: { part }, at }: PartProps) {
  const told = part.surfaceM2 !== undefined || part.brush !== undefined || (part.stains?.length ?? 0) > 0;
  const wrong = form.fault(`${at}.surfaceM2`) !== undefined;
  return (
    <div class="part-rest">
      <div class="row">
        <SelectField form={form} name={`${at}.soil`} label="Soil" options={soilOptions} initial={part.soil} />
        <SelectField form={form} name={`${at}.method`} label="Method" options={methodOptions} initial={part.method} />
        <SelectField form={form} name={`${at}.fabric`} label="Fabric" options={fabricOptions} initial={part.fabric} />
        <NumberField form={form} name={`${at}.count`} label="Pieces" initial={part.count ?? 1} />
      </div>
      <details open={told || wrong}>
        <summary>Stains, brush, measured surface</summary>
        <BoxesField
          form={form}
          name={`${at}.stains`}
          label="Stains"
          options={stainOptions}
          initial={part.stains ?? []}
        />
        <div class="row">
          <SelectField
            form={form}
            name={`${at}.brush`}
            label="Brush"
            options={brushOptions}
            initial={part.brush}
            none="not decided"
          />
          <QuantityField
            form={form}
            name={`${at}.surfaceM2`}
            label="Surface"
            hint="Empty: from a table."
            quantity="surfaceM2"
            units={units}
            initial={part.surfaceM2}
          />
        </div>
      </details>
    </div>
  );
}
