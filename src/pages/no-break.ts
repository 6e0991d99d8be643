import { measureOf, quantities } from './measures.ts';

/**
 * A page with no line break between a figure and its unit: "4.2 L", "90 %", "(1.0 to 8.8) h", "× 1.15". Done once for
 * all that a page says, for the sentences come from insight as well, where programs read them with plain spaces. Only
 * what stands between tags is read, and no text area: what somebody typed goes back as it was typed.
 */
export function withoutBreaksInFigures(html: string): string {
  return html.replace(textBetweenTags, (text) =>
    text.startsWith('<textarea') ? text : text.replace(spaceInFigure, '\u00A0'),
  );
}

const textBetweenTags = /<textarea[\s\S]*?<\/textarea>|>[^<]+/g;

const units = (['si', 'us'] as const).flatMap((system) =>
  quantities.map((quantity) => measureOf(quantity, system).unit),
);
const spaceInFigure = new RegExp(
  `(?<=[\\d)]) (?=(?:${['%', 'h', 'min', ...units].join('|')})(?![\\w²³/]))|(?<=×) (?=\\d)`,
  'g',
);
