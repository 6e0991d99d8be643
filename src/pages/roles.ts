import { type Role, roles } from '../domain/vocabulary.ts';

/** What a role may do, in the words of whoever gives it. */
const roleMeanings: Readonly<Record<Role, string>> = {
  technician: 'Technician: records jobs',
  desk: 'Desk: also makes estimates, looks jobs up and reads the findings',
  owner: 'Owner: everything, with people, keys and settings',
};

export const roleOptions = roles.map((role) => [role, roleMeanings[role]] as const);
