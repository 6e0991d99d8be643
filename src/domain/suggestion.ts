/** The word of a list that a misspelt one most likely meant; undefined where none is near. */
export function nearest(word: string, words: Iterable<string>): string | undefined {
  if (word.length > longestWord) return undefined;
  const plain = simplified(word);
  const farthest = Math.max(1, Math.floor(plain.length / 3));
  let best: string | undefined;
  let bestDistance = farthest + 1;
  for (const candidate of words) {
    const whole = simplified(candidate);
    const isPart = plain.length >= shortestPart && whole.includes(plain);
    const distance = isPart ? farthest : editDistance(plain, whole);
    if (distance < bestDistance) [best, bestDistance] = [candidate, distance];
  }
  return best;
}

/** A word left short, such as `litres`, means the one that it is part of; shorter ones are part of too many. */
const shortestPart = 4;
const longestWord = 64;

/** Case and separators are the commonest slips: `sprayed_litres` is `sprayedLitres`. */
function simplified(word: string): string {
  return word.toLowerCase().replace(/[\s_-]/g, '');
}

/** Insertions, deletions, substitutions and swaps of neighbours (optimal string alignment) from `a` to `b`. */
function editDistance(a: string, b: string): number {
  let beforeLast: number[] = [];
  let last = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const row = [i];
    for (let j = 1; j <= b.length; j++) {
      const substituted = at(last, j - 1) + (a[i - 1] === b[j - 1] ? 0 : 1);
      let cost = Math.min(at(last, j) + 1, at(row, j - 1) + 1, substituted);
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1])
        cost = Math.min(cost, at(beforeLast, j - 2) + 1);
      row.push(cost);
    }
    [beforeLast, last] = [last, row];
  }
  return at(last, b.length);
}

function at(row: readonly number[], index: number): number {
  return row[index] ?? Number.POSITIVE_INFINITY;
}
