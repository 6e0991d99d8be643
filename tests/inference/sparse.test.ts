import { describe, expect, it } from 'vitest';
import {
  addScaledRow,
  addWeightedSquare,
  quadraticForm,
  rowBuilder,
  rowDot,
  sparseRows,
} from '../../src/inference/sparse.ts';

describe('identity: sparse rows', () => {
  it('are sorted, with repeated columns summed and zeros left out', () => {
    const rows = sparseRows(5, [
      [
        [3, 1],
        [0, 2],
        [3, 0.5],
        [1, 0],
      ],
      [],
      [
        [2, 1],
        [2, -1],
        [4, 7],
      ],
    ]);
    expect(rows.nRows).toBe(3);
    expect(Array.from(rows.rowStart)).toEqual([0, 2, 2, 3]);
    expect(Array.from(rows.column)).toEqual([0, 3, 4]);
    expect(Array.from(rows.value)).toEqual([2, 1.5, 7]);
  });

  it('grow past their first room', () => {
    const builder = rowBuilder(40);
    for (let i = 0; i < 500; i++) builder.addRow([i % 40, (i + 7) % 40, (i + 3) % 40], [i + 1, 2, 3]);
    const rows = builder.build();
    expect(rows.nRows).toBe(500);
    for (let i = 0; i < 500; i++) {
      const ones = new Float64Array(40);
      ones[i % 40] = 1;
      expect(rowDot(rows, i, ones)).toBe(i + 1);
    }
  });

  it('give the products of the dense matrix', () => {
    const dense = [
      [1, 0, 2],
      [0, 3, -1],
    ];
    const rows = sparseRows(
      3,
      dense.map((row) => row.map((value, j) => [j, value] as const)),
    );
    const gram = new Float64Array(6);
    const sum = new Float64Array(3);
    dense.forEach((_, i) => {
      addWeightedSquare(rows, i, i + 1, gram);
      addScaledRow(rows, i, 10, sum);
    });
    expect(Array.from(gram)).toEqual([1, 0, 18, 2, -6, 6]);
    expect(Array.from(sum)).toEqual([10, 30, 10]);
    // A = [2 1 0; 1 3 1; 0 1 4], packed lower
    const packed = Float64Array.of(2, 1, 3, 0, 1, 4);
    expect(quadraticForm(rows, 0, packed)).toBe(2 + 16);
    expect(quadraticForm(rows, 1, packed)).toBe(27 - 6 + 4);
  });

  it('name a column out of range and a value that is no number', () => {
    expect(() => sparseRows(2, [[[2, 1]]])).toThrow(/row 0: column is 2: an integer from 0 to 1/);
    expect(() => sparseRows(2, [[], [[1, Number.NaN]]])).toThrow(/row 1, column 1: value is NaN/);
  });
});
