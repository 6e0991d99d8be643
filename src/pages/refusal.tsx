/** What a person reads where the interface for programs would answer with a problem. */
export interface RefusalProps {
  readonly text: string;
  /** What to tell whoever runs the server. */
  readonly requestId?: string | undefined;
  readonly way?: { readonly href: string; readonly label: string };
}

export function Refusal({ text, requestId, way = { href: '/start', label: 'To the first page' } }: RefusalProps) {
  return (
    <>
      <p class="answer">{text}</p>
      {requestId && (
        <p>
          If you tell somebody about it, name this number, under which the log has the cause: <code>{requestId}</code>
        </p>
      )}
      <p>
        <a class="button" href={way.href}>
          {way.label}
        </a>
      </p>
    </>
  );
}
