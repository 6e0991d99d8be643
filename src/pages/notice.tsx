import type { Child } from 'hono/jsx';

/** A sentence or two that should not be missed: a caution, or that something is done. Said in words, not by colour. */
export function Notice({ kind, children }: { kind: 'caution' | 'done' | 'note'; children?: Child }) {
  return (
    <div class={`notice ${kind}`} role={kind === 'done' ? 'status' : undefined}>
      {children}
    </div>
  );
}
