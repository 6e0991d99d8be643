import type { RuleOfThumb } from '../../models/rules-of-thumb.ts';

/** A rule in a few words, to stand beside its range. */
export function ruleName({ model, kind, term }: Pick<RuleOfThumb, 'model' | 'kind' | 'term'>): string {
  if (term === 'second') return 'a second pass to be safe';
  if (kind === 'chance')
    return term === '7' ? 'seven passes or more' : `after ${term === '1' ? 'one pass' : `${term} passes`}`;
  if (kind === 'spread') return term === 'machine' ? 'one extractor from another' : 'one person from another';
  if (kind === 'log-sigma') return 'work alike on paper, apart';
  return term === 'int' ? typicalNames[model] : (termNames[term] ?? term);
}

const typicalNames: Readonly<Record<RuleOfThumb['model'], string>> = {
  passes: 'the usual seat',
  labour: 'the usual job',
  water: 'the usual seat',
  drying: 'the usual seat',
  'giving-up': '',
};

const termNames: Readonly<Record<string, string>> = {
  light: 'light soil',
  heavy: 'heavy soil',
  severe: 'severe soil',
  knit: 'knit',
  velour: 'velour',
  suede: 'suede-like cloth',
  loop: 'loop carpet',
  cut: 'cut-pile carpet',
  headlining: 'headliner',
  spot: 'spot work',
  spotext: 'spots first, then extraction',
  st_oil: 'food, protein or oil stains',
  st_dye: 'drink or dye stains',
  st_pet: 'pet, smoke or mud',
  br_none: 'no brush',
  br_med: 'medium brush',
  br_stiff: 'stiff brush',
  entry: 'entry-grade extractor',
  high: 'high-grade extractor',
  coupe: 'coupe',
  hatchback: 'hatchback',
  wagon: 'wagon',
  suv: 'SUV',
  suv3: 'SUV, three rows',
  minivan: 'minivan',
  pickup: 'pickup',
  van: 'van',
  notrem: 'seats left in',
  lpass: 'three passes, not two',
  lnsec: 'twice the sections',
  crew: 'two people or more',
  lwet: 'twice the wet passes',
  lwater: 'litres, beyond proportion',
  lair: 'air, beyond its physics',
  looked: 'only dry looks noted',
  dry: 'one more dry pass',
  lost: 'tanks against cloth',
  vac: 'last round with the vacuum',
  a_unsaid: 'drying aid not said',
  a_open: 'open doors',
  a_fan: 'fan',
  a_dehum: 'dehumidifier',
  a_warm: 'warm room',
  a_sun: 'sun',
  night: 'at night, not by day',
  cosy: 'the turn of the year',
  siny: 'the first of April',
  crept: 'a half-year earlier',
  before: 'before a change found',
};
