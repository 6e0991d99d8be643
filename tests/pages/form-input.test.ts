import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { faultSaying } from '../../src/domain/faults.ts';
import { freshForm, readForm, withFaults } from '../../src/pages/form-input.ts';

const read = (fields: readonly (readonly [string, unknown])[], units: 'si' | 'us' = 'si') => readForm(fields, units);

describe('contract: a sent form', () => {
  it('becomes the value that its names describe', () => {
    const { input } = read([
      ['bodyStyle', 'sedan'],
      ['seatsRemoved:flag', 'yes'],
      ['sections.0.area', 'front-seat'],
      ['sections.0.stains:list', 'oil'],
      ['sections.0.stains:list', 'pet'],
      ['sections.0.wetPasses:number', '2'],
      ['sections.1.area', 'rear-bench'],
    ]);
    expect(input).toEqual({
      bodyStyle: 'sedan',
      seatsRemoved: true,
      sections: [{ area: 'front-seat', stains: ['oil', 'pet'], wetPasses: 2 }, { area: 'rear-bench' }],
    });
  });

  it('takes a comma or a point before the decimals, and leaves what is no number for the schema', () => {
    const typed = ['1.5', '1,5', ' 2 ', '.5', '1,234.5', '1e3', 'two', '-3', '', '0x10', 'Infinity'];
    expect(typed.map((text) => read([['n:number', text]]).input.n)).toEqual([
      1.5,
      1.5,
      2,
      0.5,
      '1,234.5',
      '1e3',
      'two',
      -3,
      undefined,
      '0x10',
      'Infinity',
    ]);
  });

  it('reads quantities in the units of the shop', () => {
    expect(read([['sprayedLitres:litres', '2']], 'si').input.sprayedLitres).toBe(2);
    expect(read([['sprayedLitres:litres', '2']], 'us').input.sprayedLitres).toBeCloseTo(7.570823568, 9);
    expect(read([['airC:celsius', '68']], 'us').input.airC).toBeCloseTo(20, 9);
  });

  it('puts what was typed in other units than the shop has by now into those', () => {
    const typedIn = (units: string) => ['typedIn', units] as const;
    const { input, form } = read([
      typedIn('us'),
      ['sprayedLitres:litres', '2'],
      ['airC:celsius', ''],
      ['n:number', '2'],
    ]);
    // A US gallon is 3.785411784 L.
    expect(input).toEqual({ sprayedLitres: 7.570824, n: 2 });
    expect(form.typed('sprayedLitres')).toBe('7.570824');
    expect(read([typedIn('si'), ['airC:celsius', '20']], 'us').form.typed('airC')).toBe('68');
    expect(read([typedIn('us'), ['sprayedLitres:litres', 'two']]).input).toEqual({ sprayedLitres: 'two' });
    expect(read([typedIn('us'), ['sprayedLitres:litres', '2']], 'us').form.typed('sprayedLitres')).toBe('2');
  });

  it('keeps what was typed, wrong or not, and shows faults at their field', () => {
    const { form } = read([['sections.0.wetPasses:number', 'many']]);
    const back = withFaults(form, [faultSaying(['sections', 0, 'wetPasses'], 'a whole number')]);
    expect(back.typed('sections.0.wetPasses')).toBe('many');
    expect(back.fault('sections.0.wetPasses')?.message).toBe('a whole number');
    expect(back.fault('sections.0.area')).toBeUndefined();
    expect(freshForm.typed('anything')).toBeUndefined();
  });

  it('is an empty object’s own whatever it is named: no way to what all objects share', () => {
    for (const name of ['__proto__.polluted', 'constructor.prototype.polluted', 'a.__proto__.polluted'])
      read([[name, 'yes']]);
    expect(Reflect.get({}, 'polluted')).toBeUndefined();
    const name = fc.oneof(fc.string(), fc.stringMatching(/^[a-z.:0-9_]{1,20}$/));
    fc.assert(
      fc.property(fc.array(fc.tuple(name, fc.string()), { maxLength: 8 }), (fields) => {
        read(fields);
        return Object.keys(Object.prototype).length === 0;
      }),
    );
  });

  it('takes no index that would make a list of millions', () => {
    expect(read([['sections.1000000.area', 'cargo']]).input).toEqual({});
  });
});
