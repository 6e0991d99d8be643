import type { Shop } from '../domain/shop.ts';
import { byLabels } from './fault-words.ts';
import { asTyped, ChoiceField, FaultSummary, NumberField, SelectField, TextField } from './fields.tsx';
import type { FormState } from './form-input.ts';
import type { ChangedField, Shown } from './form-meanwhile.ts';
import { FirstShown, Meanwhile } from './meanwhile.tsx';
import { Notice } from './notice.tsx';

interface SetupProps {
  readonly shop: Shop;
  readonly form: FormState;
  /** What others stored since the form was shown. */
  readonly changes: readonly ChangedField[];
  readonly steps: readonly SetupStep[];
  readonly timeZones: readonly string[];
  readonly currencies: readonly (readonly [code: string, name: string])[];
  readonly stored: boolean;
}

/** One thing that a new shop does once, and how far it is. */
export interface SetupStep {
  readonly href: string;
  readonly label: string;
  readonly state: string;
}

export function Setup({ shop, changes, steps, timeZones, currencies, stored, ...sent }: SetupProps) {
  const form = byLabels(sent.form, labels);
  return (
    <>
      <Meanwhile changes={changes} labels={labels} href="/setup" said={said} />
      {stored && (
        <Notice kind="done">
          <p>Stored. Estimates go by it from now on.</p>
        </Notice>
      )}
      <p>
        Nothing here has to be complete: estimates work from the first minute by common rules of thumb, say so, and lean
        on your own jobs as they come in.
      </p>
      <h2>Who and what there is</h2>
      <ul class="ways">
        {steps.map(({ href, label, state }) => (
          <li>
            <a href={href}>
              {label}: {state}
            </a>
          </li>
        ))}
      </ul>
      <h2>The shop</h2>
      <FaultSummary form={form} />
      <ShopForm {...{ shop, form, timeZones, currencies }} />
    </>
  );
}

const labels = {
  name: 'Name of the shop',
  timeZone: 'Time zone',
  units: 'Units',
  currency: 'Currency',
  labourRate: 'Price of one hour of work',
  materials: 'Materials for one job',
  overrunPercent: 'How many jobs may run over',
};

const unitWords = { si: 'Litres, square metres, °C', us: 'Gallons, square feet, °F' };

function said(name: string, typed: string): string | undefined {
  return name === 'units' ? new Map(Object.entries(unitWords)).get(typed) : undefined;
}

function ShopForm({
  shop,
  form,
  timeZones,
  currencies,
}: Pick<SetupProps, 'shop' | 'form' | 'timeZones' | 'currencies'>) {
  const { settings } = shop;
  return (
    <form class="stack" method="post" action="/setup">
      <FirstShown shown={shownOf(shop)} />
      <TextField form={form} name="name" label="Name of the shop" initial={shop.name} required maxlength={120} />
      <SelectField
        form={form}
        name="timeZone"
        label="Time zone"
        hint="For ready-by times and the nightly run."
        options={timeZones.map((zone) => [zone, zone.replaceAll('_', ' ')] as const)}
        initial={shop.timeZone}
        required
      />
      <ChoiceField
        form={form}
        name="units"
        label="Units"
        options={Object.entries(unitWords)}
        initial={settings.units}
        required
      />
      <SelectField
        form={form}
        name="currency"
        label="Currency"
        options={currencies}
        initial={settings.currency}
        required
      />
      <NumberField
        form={form}
        name="labourRate"
        label="Price of one hour of work"
        unit={settings.currency}
        initial={settings.labourRate}
        required
      />
      <NumberField
        form={form}
        name="materials"
        label="Materials for one job"
        unit={settings.currency}
        initial={settings.materials}
        required
      />
      <NumberField
        form={form}
        name="overrunPercent"
        label="How many jobs may run over their quoted hours"
        unit="of 100"
        hint="20 means 1 job in 5. Fewer makes quotes safer and dearer."
        initial={overrunPercent(settings)}
        required
      />
      <button type="submit">Store</button>
    </form>
  );
}

/** What the fields show of a shop. */
export function shownOf({ name, timeZone, settings }: Shop): Shown {
  const { units, currency, labourRate, materials } = settings;
  const numbers = { labourRate, materials, overrunPercent: overrunPercent(settings) };
  const typed = Object.entries(numbers).map(([field, value]) => [field, asTyped(value)]);
  return { name, timeZone, units, currency, ...Object.fromEntries(typed) };
}

function overrunPercent({ overrunRisk }: Shop['settings']): number {
  return overrunRisk * 100;
}
