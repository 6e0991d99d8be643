/** Runs a command of the terminal: what goes wrong is one line on stderr and exit code 1, never a stack. */
export async function runCommand(work: (args: string[]) => Promise<void>): Promise<void> {
  try {
    await work(process.argv.slice(2));
  } catch (error) {
    console.error(error instanceof Error ? error.message : String(error));
    process.exitCode = 1;
  }
}
