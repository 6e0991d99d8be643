import { describe, expect, it } from 'vitest';
import { withoutBreaksInFigures } from '../../src/pages/no-break.ts';

/** With a mark where a line can not break. */
const kept = (html: string) => withoutBreaksInFigures(html).replaceAll('\u00A0', '·');

describe('contract: figures and their units on one line', () => {
  it.each([
    ['(90 % range 35 to 41 %)', '(90·% range 35 to 41·%)'],
    ['2 h 30 min, 1 h.', '2·h 30·min, 1·h.'],
    ['0.23 to 0.58 L/m², 8.5 L', '0.23 to 0.58·L/m², 8.5·L'],
    ['−26 (−39 to −9) %', '−26 (−39 to −9)·%'],
    ['7 fl oz/ft², 12 inches of water, 90 m³/h', '7·fl oz/ft², 12·inches of water, 90·m³/h'],
    ['now × 1.46', 'now ×·1.46'],
    ['8 of 10 jobs, 3 horses, 2 minutes, 26 November', '8 of 10 jobs, 3 horses, 2 minutes, 26 November'],
  ])('%s', (text, expected) => {
    expect(kept(`<p>${text}</p>`)).toBe(`<p>${expected}</p>`);
  });

  it('leaves attributes and what somebody typed as they are', () => {
    const typed = '<p title="3 h">4 h</p><input value="5 h"/><textarea name="note">6 h, 7 L\n8 %</textarea><b>9 h</b>';
    expect(kept(typed)).toBe(typed.replace('4 h', '4·h').replace('9 h', '9·h'));
  });
});
