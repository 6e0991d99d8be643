import { Readable } from 'node:stream';
import { describe, expect, it } from 'vitest';
import { csvRows } from '../../src/http/body-csv.ts';

const many = () => Readable.from(Array.from({ length: 1000 }, (_, i) => Buffer.from(`ref,area\n${i},cargo\n`)));

describe('contract: the rows of a CSV file', () => {
  it('come to the last one', async () => {
    let count = 0;
    for await (const _ of csvRows(many())) count += 1;
    expect(count).toBe(2000);
  });

  it('let go of the file where nobody reads on', async () => {
    const file = many();
    for await (const _ of csvRows(file)) break;
    expect(file.destroyed).toBe(true);
  });
});
