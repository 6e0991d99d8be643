/** Called with a line for the person who waits. */
export type OnProgress = (line: string) => void;

/** Says `line` if the work is still going on after two seconds; what is quicker says nothing. */
export async function sayIfSlow<T>(onProgress: OnProgress, line: string, work: Promise<T>): Promise<T> {
  const timer = setTimeout(() => onProgress(line), 2000);
  try {
    return await work;
  } finally {
    clearTimeout(timer);
  }
}
