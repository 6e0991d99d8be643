/** Addresses of one job's pages. The ref goes into the query: as part of a path, `..` or `a/b` would lead elsewhere. */
export const jobHref = (ref: string) => at('/records/job', { ref });
export const mendHref = (ref: string) => at('/records/job/mend', { ref });
export const takeOutHref = (ref: string) => at('/records/job/take-out', { ref });
export const versionHref = (ref: string, version: number) =>
  at('/records/job/version', { ref, version: String(version) });

function at(path: string, query: Readonly<Record<string, string>>): string {
  return `${path}?${new URLSearchParams(query)}`;
}
