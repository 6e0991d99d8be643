const steps = [
  ['columns', 'Columns'],
  ['values', 'Units and words'],
  ['check', 'Check'],
] as const;

/** Where we are on the way from the file to its records, and the way back. */
export function ImportSteps({ base, at, fileName }: { base: string; at: string; fileName: string }) {
  return (
    <nav class="choose" aria-label={`Steps of taking in ${fileName}`}>
      <p class="soft">{fileName}</p>
      <ul>
        {steps.map(([step, label], i) => (
          <li>
            <a href={`${base}/${step}`} aria-current={step === at ? 'step' : undefined}>
              {i + 1}. {label}
            </a>
          </li>
        ))}
      </ul>
    </nav>
  );
}
