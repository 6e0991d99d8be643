import { z } from 'zod';
import { type Fault, faultSaying } from '../domain/faults.ts';
import { password } from '../domain/person.ts';

/** A new password, typed twice. */
export const newPassword = z.object({ password, again: z.string().optional() });

/** What a new password must hold beside its length. */
export function newPasswordFaults(given: z.output<typeof newPassword>, signInName: string): Fault[] {
  if (given.password !== given.again) return [faultSaying(['again'], 'The two are not the same')];
  const tooPlain = given.password.toLowerCase().includes(signInName);
  return tooPlain ? [faultSaying(['password'], 'The sign-in name must not be part of it')] : [];
}

/** A password is never repeated in a message. */
export function withoutPassword(faults: readonly Fault[]): Fault[] {
  return faults.map(({ field, message }) =>
    field === 'password'
      ? faultSaying(['password'], 'It needs 10 to 200 characters, more than three of them different')
      : faultSaying([field], message),
  );
}
