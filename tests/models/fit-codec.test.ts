import { describe, expect, it } from 'vitest';
import { estimateJob } from '../../src/models/estimate.ts';
import { decodeShopFit, encodeShopFit, fitVersion, readShopFit } from '../../src/models/fit-codec.ts';
import { simulateShop } from '../support/simulate/shop.ts';
import { context, fitOf, seats } from './shop-under-test.ts';

const shop = simulateShop('lumps', 3, 60);
const lists = { technicians: shop.technicians, machines: shop.machines };
const fit = fitOf(shop.records, { ...lists, now: new Date('2026-01-05T00:00:00Z') });
const text = encodeShopFit(fit);

/** The text with one place of it changed. */
function changed(...[path, value]: [path: readonly (string | number)[], value: unknown]): string {
  const whole: unknown = JSON.parse(text);
  const parent = path.slice(0, -1).reduce((node: unknown, step) => Reflect.get(Object(node), step), whole);
  Reflect.set(Object(parent), path[path.length - 1], value);
  return JSON.stringify(whole);
}

describe('identity: a stored fit', () => {
  it('comes back as it was, to the last bit', () => {
    expect(decodeShopFit(text)).toEqual(fit);
  });

  it.each([
    ['a shop’s own', fit, { ...context, ...lists }],
    ['the rules of thumb', fitOf([]), context],
  ])('estimates the same: %s', (_, one, its) => {
    const back = decodeShopFit(encodeShopFit(one));
    for (const job of [seats(), seats({ method: 'spot', soil: 'heavy' }), seats({}, { crew: 2, bodyStyle: 'van' })])
      expect(estimateJob(back, job, its)).toEqual(estimateJob(one, job, its));
  });
});

describe('a stored fit that is not whole', () => {
  const mode = fit.models.water.posterior.points[0].mode;
  const encodedMode = JSON.parse(text).models.water.posterior.points[0].mode as string;

  it.each([
    ['cut short', text.slice(0, -20)],
    ['empty', ''],
    ['another thing', '{"hello": 1}'],
    ['of no version', changed(['version'], undefined)],
    ['without a model', changed(['models', 'drying'], undefined)],
    ['without points', changed(['models', 'labour', 'posterior', 'points'], [])],
    ['with numbers missing', changed(['models', 'water', 'posterior', 'points', 0, 'mode'], encodedMode.slice(0, -32))],
    ['with half a number', changed(['models', 'water', 'posterior', 'points', 0, 'mode'], encodedMode.slice(0, -4))],
    [
      'with what is no base64',
      changed(['models', 'water', 'posterior', 'points', 0, 'mode'], `?${encodedMode.slice(1)}`),
    ],
    ['with a spread missing', changed(['models', 'passes', 'posterior', 'points', 0, 'tau'], '')],
    ['with a technician too many', changed(['models', 'passes', 'layout', 'technicians', 40], 'eve')],
    ['with columns that its layout has not', changed(['models', 'passes', 'posterior', 'nColumns'], mode.length + 1)],
    ['with a wrong kind of value', changed(['nJobs'], 'sixty')],
    ['with six counts of giving up', changed(['givingUp', 'everybody'], fit.givingUp.everybody.slice(1))],
  ])('is refused: %s', (_, damaged) => {
    expect(() => decodeShopFit(damaged)).toThrow();
  });

  it('is another version’s to read: undefined, not misread and no error', () => {
    expect(readShopFit(changed(['version'], fitVersion - 1))).toBeUndefined();
    expect(readShopFit(text)).toEqual(fit);
    expect(() => readShopFit(text.slice(1))).toThrow();
  });
});
