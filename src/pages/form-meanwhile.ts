import type { FormState } from './form-input.ts';

/** What the fields of a form show of what is stored, by their names and as it would be typed; an empty one shows ''. */
export type Shown = Readonly<Record<string, string>>;

/** A field whose stored value became another after the form was shown. */
export interface ChangedField {
  readonly name: string;
  readonly was: string;
  readonly is: string;
}

/** The field that sends back what another showed. */
export function shownName(name: string): string {
  return `shown.${name}`;
}

/**
 * What was stored by others between the showing of a form and now: to store the form would put it back unseen. All of
 * it counts, not the fields alone that were typed in too: a price typed in euros is another once they chose dollars. A
 * value typed by both is no difference; and who sends no word of what was shown, as a program, means all that is sent.
 */
export function changedMeanwhile(form: FormState, now: Shown): ChangedField[] {
  return Object.entries(now).flatMap(([name, is]) => {
    const was = form.typedAll(shownName(name))?.[0];
    return was === undefined || was === is || form.typed(name) === is ? [] : { name, was, is };
  });
}

/** The sent form on what is stored now: what was typed stays as typed, and a field left as it was shows theirs. */
export function onTopOf(now: Shown, form: FormState): FormState {
  const isLeft = (name: string) => form.typed(name) === form.typed(shownName(name));
  return { ...form, typed: (name) => (isLeft(name) ? now[name] : undefined) ?? form.typed(name) };
}

/** Whether a field says no more than what is stored, of which it may show fewer digits. */
export function isUntouched(form: FormState, now: Shown, name: string): boolean {
  return form.typed(name) === now[name];
}
