/** Of somebody by key; undefined of nobody, and of whoever is not among them: “constructor” is a key like any other, and no part of a record. */
export function ofTechnician<T>(
  byTechnician: Readonly<Record<string, T>>,
  technician: string | undefined,
): T | undefined {
  return technician !== undefined && Object.hasOwn(byTechnician, technician) ? byTechnician[technician] : undefined;
}
