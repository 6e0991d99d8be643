import { type ChangedField, type Shown, shownName } from './form-meanwhile.ts';
import { Notice } from './notice.tsx';

/** In a form that changes what is stored: what its fields show at first, to be sent back with it. */
export function FirstShown({ shown }: { shown: Shown }) {
  return Object.entries(shown).map(([name, value]) => <input type="hidden" name={shownName(name)} value={value} />);
}

interface MeanwhileProps {
  readonly changes: readonly ChangedField[];
  readonly labels: Readonly<Record<string, string>>;
  /** What is stored, as a page of its own: the way to leave it so. */
  readonly href: string;
  /** A value in words, where what is typed is none. */
  readonly said?: (name: string, typed: string) => string | undefined;
}

/** Ahead of a form that was not stored, since others had changed what it was about. */
export function Meanwhile({ changes, labels, href, said }: MeanwhileProps) {
  if (changes.length === 0) return null;
  const words = (name: string, typed: string) => said?.(name, typed) ?? (typed === '' ? 'nothing' : typed);
  return (
    <Notice kind="caution">
      <p role="alert">
        This was changed after you opened the page. Nothing of yours is stored yet: what you changed stands below as you
        typed it, all else as it is now.
      </p>
      <ul>
        {changes.map(({ name, was, is }) => (
          <li>
            {labels[name] ?? name}: now {words(name, is)}; it was {words(name, was)}
          </li>
        ))}
      </ul>
      <p>
        Look it over and store; or <a href={href}>leave it as it is now</a>.
      </p>
    </Notice>
  );
}
