import type { ColumnProfile } from './csv-profile.ts';
import { valueWords } from './csv-synonyms.ts';
import type { Target } from './csv-targets.ts';
import { keyFrom } from './lists.ts';
import { listKey } from './record.ts';
import { nearest } from './suggestion.ts';

/** The shop's own people and machines. */
export interface Lists {
  readonly technicians: readonly { readonly key: string; readonly name: string }[];
  readonly machines: readonly { readonly key: string; readonly name: string }[];
}

/** The words of a column that are not ours, each once; none where the target has no words. */
export function wordsToRead(target: Target, column: ColumnProfile, lists: Lists): string[] {
  const all = [...new Set(column.words.flatMap((cell) => partsOf(target, cell)))];
  return all.filter((word) => !isOwn(target, word, lists)).slice(0, mostWords);
}

/** In how many rows a word stands, among the contents that the profile has kept. */
export function rowsWith(target: Target, { words, counts = [] }: ColumnProfile, word: string): number {
  return words.reduce((sum, cell, i) => sum + (partsOf(target, cell).includes(word) ? (counts[i] ?? 0) : 0), 0);
}

/** More different words than this are no closed list: the column is another. */
export const mostWords = 99;

/** The words in one cell: several only where the target may hold several. */
export function partsOf({ many }: Target, cell: string): string[] {
  const parts = many ? cell.split(/[;,/&+]|\band\b/i) : [cell];
  return parts.map((part) => part.trim()).filter((part) => part !== '');
}

/** What a word most likely means: of the closed list, or the key of somebody, new ones with a key made from the name. */
export function guessWord(target: Target, word: string, { technicians, machines }: Lists): string | undefined {
  if (target.kind === 'technician') return ownKey(technicians, word) ?? newKey(word);
  if (target.kind === 'machine') return ownKey(machines, word) ?? newKey(word);
  const plain = simplified(word);
  const { words = [], name } = target;
  const same = words.find((one) => simplified(one) === plain);
  if (same !== undefined) return same;
  const synonyms = valueWords[name] ?? {};
  return words.find((one) => (synonyms[one] ?? []).some((other) => simplified(other) === plain)) ?? near(word, words);
}

/** Words that are read as they are; `yes` and `no` also as true and false. */
function isOwn({ kind, words = [] }: Target, word: string, { technicians, machines }: Lists): boolean {
  if (kind === 'technician') return technicians.some(({ key }) => key === word);
  if (kind === 'machine') return machines.some(({ key }) => key === word);
  return kind !== 'words' || words.includes(word) || (words.includes('yes') && /^(true|false|yes|no)$/i.test(word));
}

/** A word that may be a key as it is stays it. */
function newKey(word: string): string | undefined {
  return listKey.safeParse(word).success ? word : keyFrom(word) || undefined;
}

function ownKey(list: Lists['technicians'], word: string): string | undefined {
  const plain = simplified(word);
  return (
    list.find(({ key }) => key === word) ??
    list.find(({ key, name }) => simplified(key) === plain || simplified(name) === plain)
  )?.key;
}

/** Slips of the pen in words of some length; short ones are near to too many. */
function near(word: string, words: readonly string[]): string | undefined {
  return word.length < 5 ? undefined : nearest(word, words);
}

function simplified(word: string): string {
  return word
    .normalize('NFKD')
    .replace(/\p{Mark}/gu, '')
    .toLowerCase()
    .replace(/[^a-z0-9?]+/g, '');
}
