import type { Formats } from './format.ts';

export interface OpenSession {
  readonly sessionId: string;
  readonly name: string;
  readonly device: string;
  readonly begunAt: Date;
  readonly seenAt: Date;
}

interface SessionListProps {
  readonly sessions: readonly OpenSession[];
  readonly formats: Formats;
  /** The session of whoever looks at the list: it is ended by signing out. */
  readonly current: string;
  readonly showName?: boolean;
}

export function SessionList({ sessions, formats, current, showName = false }: SessionListProps) {
  if (sessions.length === 0) return <p>Nowhere just now.</p>;
  return (
    <ul class="cards">
      {sessions.map((one) => (
        <li>
          <p>
            {showName && <strong>{one.name}: </strong>}
            {deviceName(one.device)}
            {one.sessionId === current && ' (this one)'}
            <br />
            <span class="soft">
              Signed in {formats.dateTime(one.begunAt)}, last seen {formats.dateTime(one.seenAt)}
            </span>
          </p>
          {one.sessionId !== current && (
            <form method="post" action={`/sessions/${one.sessionId}/end`}>
              <button
                type="submit"
                class="second"
                aria-label={`End this session: ${one.name}, ${deviceName(one.device)}`}
              >
                End this session
              </button>
            </form>
          )}
        </li>
      ))}
    </ul>
  );
}

/** What a browser says of itself, in two words where they can be found. */
function deviceName(agent: string): string {
  const system = firstOf(agent, ['Android', 'iPhone', 'iPad', 'Windows', 'Mac OS', 'CrOS', 'Linux']);
  const browser = firstOf(agent, ['Edg', 'OPR', 'Firefox', 'Chrome', 'Safari']);
  if (!system && !browser) return agent.slice(0, 60) || 'an unknown device';
  return [browser ?? 'A browser', system && `on ${system}`].filter((part) => part).join(' ');
}

function firstOf(text: string, names: readonly string[]): string | undefined {
  return names.find((name) => text.includes(name));
}
