import { type PlotOptions, plot } from '@observablehq/plot';
import { parseHTML } from 'linkedom';

/** What a picture is drawn from. What stands around it (title, source, legend) is written in HTML by `Figure`. */
export type ChartOptions = Omit<PlotOptions, 'title' | 'subtitle' | 'caption' | 'document' | 'style' | 'className'>;

/**
 * A picture as static SVG text: no script, no style of its own, colours by the page (`currentColor` and classes), its
 * size that of the box it stands in. `title` is what a screen reader says of it.
 */
export function chart(title: string, options: ChartOptions): string {
  const svg = plot({
    width: 520,
    height: 300,
    marginLeft: 48,
    marginBottom: 40,
    ...options,
    document: canvas,
    className: 'chart',
  });
  for (const style of svg.querySelectorAll('style')) style.remove();
  for (const named of svg.querySelectorAll('[aria-label]')) named.removeAttribute('aria-label');
  const heading = canvas.createElementNS(namespace, 'title');
  heading.textContent = title;
  svg.prepend(heading);
  svg.setAttribute('xmlns', namespace);
  svg.setAttribute('role', 'img');
  return svg.outerHTML;
}

const namespace = 'http://www.w3.org/2000/svg';
const canvas = parseHTML('<!doctype html><html><body></body></html>').document;
