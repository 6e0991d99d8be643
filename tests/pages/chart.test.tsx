import { dot, ruleX, text } from '@observablehq/plot';
import { describe, expect, it } from 'vitest';
import { chart } from '../../src/pages/chart.ts';
import { Figure } from '../../src/pages/figure.tsx';

const options = {
  x: { label: 'hours' },
  marks: [
    ruleX([0]),
    dot([1, 2, 3], { x: (hours: number) => hours }),
    text(['a<b'], { x: () => 2, text: (t: string) => t }),
  ],
};

describe('contract: pictures', () => {
  it('are whole SVG with a name, and nothing that a strict policy refuses', () => {
    const svg = chart('Three jobs & more', options);
    expect(svg).toMatch(/^<svg [^>]*xmlns="http:\/\/www\.w3\.org\/2000\/svg"/);
    expect(svg).toMatch(/^<svg [^>]*role="img"[^>]*><title>Three jobs &amp; more<\/title>/);
    expect(svg).not.toMatch(/<style|<script|\sstyle=|\son\w+=|href=/);
    expect(svg).toContain('a&lt;b');
    expect(svg).not.toContain('NaN');
  });

  it('are the same for the same numbers', () => {
    expect(chart('x', options)).toBe(chart('x', options));
  });

  it('stand with their title and their numbers', async () => {
    const table = { columns: ['job', 'hours'], rows: [['first <1>', '1.0']] };
    const figure = String(
      await (<Figure title="Hours" alternative="One job of one hour" options={options} table={table} />),
    );
    expect(figure).toContain('<figcaption>Hours</figcaption>');
    expect(figure).toContain('<th scope="row">first &lt;1&gt;</th><td>1.0</td>');
    expect(figure).toContain('<svg');
  });
});
