interface ChoiceLink {
  readonly href: string;
  readonly text: string;
  readonly isHere: boolean;
}

/** Ways to the same page about another figure. */
export function FigureChoice({ label, choices }: { label: string; choices: readonly ChoiceLink[] }) {
  return (
    <nav aria-label={label} class="choose">
      <ul>
        {choices.map(({ href, text, isHere }) => (
          <li>
            <a href={href} aria-current={isHere ? 'page' : undefined}>
              {text}
            </a>
          </li>
        ))}
      </ul>
    </nav>
  );
}
