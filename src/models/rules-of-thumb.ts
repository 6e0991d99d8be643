/** The models that carry rules of thumb. */
export type RuleModel = 'passes' | 'labour' | 'water' | 'drying' | 'giving-up';

/** How a row is read: a coefficient N(mean, sd²); a half-normal spread of scale sd; log sigma N(mean, sd²); a Beta chance. */
type RuleKind = 'coefficient' | 'spread' | 'log-sigma' | 'chance';

/** One rule of thumb, as the fit that used it records it. */
export interface RuleOfThumb {
  readonly id: string;
  readonly model: RuleModel;
  readonly kind: RuleKind;
  readonly term: string;
  readonly statement: string;
  readonly mean: number;
  readonly sd: number;
  readonly provenance: string;
}

const provenance = 'common practice, no source';

/** Pseudo-records behind each chance: a Beta of that many, so sd² = p (1 − p) / (10 + 1). */
const chanceWeight = 10;

/**
 * What the program believes before a shop's first record: one row a rule, on the natural-log scale.
 * Numbers from memory of the trade, tuned so that the answers with no records are sensible; a shop may adjust a row by its id.
 */
export const rulesOfThumb: readonly RuleOfThumb[] = [
  // Passes: log of the latent effort, in passes. Reference: moderate soil, flat weave, extraction, standard machine, soft brush, no stain.
  coefficient(
    'passes',
    'int',
    0.32,
    0.12,
    'Ordinary seats come clean in two passes more often than not, some three in ten in one',
  ),
  coefficient('passes', 'light', -0.6, 0.25, 'Lightly soiled cloth is mostly done after one pass'),
  coefficient('passes', 'heavy', 0.42, 0.18, 'Heavy soil asks for half as many passes again'),
  coefficient('passes', 'severe', 0.7, 0.25, 'Severe soil asks for twice as many passes'),
  coefficient('passes', 'knit', 0.02, 0.1, 'Knit cleans about like flat weave'),
  coefficient('passes', 'velour', 0.08, 0.12, 'Velour holds soil in its pile and is a little slower'),
  coefficient('passes', 'suede', 0.1, 0.14, 'Suede-like cloth is worked gently and so a little longer'),
  coefficient('passes', 'loop', 0.1, 0.12, 'Loop carpet is slower than seat cloth'),
  coefficient('passes', 'cut', 0.12, 0.12, 'Cut-pile carpet is slower than seat cloth'),
  coefficient('passes', 'headlining', -0.15, 0.25, 'Work on a headliner is stopped early'),
  coefficient('passes', 'spot', -0.3, 0.2, 'Spot work is usually over in one round'),
  coefficient('passes', 'spotext', -0.08, 0.1, 'Treating the spots first saves part of a pass'),
  coefficient('passes', 'st_oil', 0.1, 0.1, 'Food, protein or oil stains cost part of a pass'),
  coefficient('passes', 'st_dye', 0.1, 0.12, 'Drink or dye stains cost part of a pass, or stay'),
  coefficient('passes', 'st_pet', 0.08, 0.1, 'Pet, smoke and mud cost part of a pass'),
  coefficient('passes', 'br_none', 0.1, 0.1, 'With no brush each pass brings out less'),
  coefficient('passes', 'br_med', -0.05, 0.06, 'A medium brush frees a little more than a soft one'),
  coefficient('passes', 'br_stiff', -0.08, 0.1, 'A stiff brush frees more than a soft one'),
  coefficient('passes', 'entry', 0.18, 0.15, 'An entry-grade extractor needs about a fifth more'),
  coefficient('passes', 'high', -0.3, 0.15, 'A high-grade extractor often saves the second pass'),
  coefficient('passes', 'crept', 0, 0.03, 'From one half-year to the next the effort creeps by some three per cent'),
  coefficient(
    'passes',
    'before',
    0,
    0.3,
    'Before a change that the records show, a third more effort or a quarter less is nothing unusual',
  ),
  chance(
    'passes',
    'second',
    0.1,
    'One person in ten goes over it a second time whether or not the first pass did it, to be safe',
  ),
  spread('passes', 'technician', 0.12, 'People differ in the passes they need'),
  spread('passes', 'machine', 0.08, 'Extractors of one grade differ in the passes they need'),
  logSigma('passes', 0.42, 0.25, 'What is left over between sections alike on paper'),

  // Labour: log person-hours over the work content. Reference: sedan, moderate soil, seats out, extraction, 2.2 passes, two sections, one person, standard machine.
  coefficient(
    'labour',
    'int',
    0.15,
    0.04,
    'Front and rear cloth seats of a sedan, taken out and extracted, are three to four hours',
  ),
  coefficient('labour', 'coupe', 0.04, 0.05, 'A coupe is tighter to work in'),
  coefficient('labour', 'hatchback', 0, 0.05, 'A hatchback works like a sedan'),
  coefficient('labour', 'wagon', 0, 0.05, 'A wagon works like a sedan'),
  coefficient('labour', 'suv', 0.02, 0.05, 'An SUV is a bit more to reach across'),
  coefficient('labour', 'suv3', 0.03, 0.05, 'A third row of seats costs time to get at'),
  coefficient('labour', 'minivan', 0, 0.05, 'A minivan is easy to step into'),
  coefficient('labour', 'pickup', 0, 0.05, 'A pickup cab works like a sedan'),
  coefficient('labour', 'van', 0, 0.06, 'A van works like a minivan'),
  coefficient('labour', 'light', -0.05, 0.08, 'Light soil takes a little less than its passes say'),
  coefficient('labour', 'heavy', 0.05, 0.08, 'Heavy soil takes a little more than its passes say'),
  coefficient('labour', 'severe', 0.1, 0.12, 'Severe soil means more work by hand'),
  coefficient('labour', 'notrem', 0, 0.1, 'Seats left in: as the work content has it, give or take'),
  coefficient('labour', 'lpass', 0, 0.1, 'Passes weigh as the work content has it, give or take'),
  coefficient('labour', 'spot', 0, 0.15, 'Spot work: as the work content has it, give or take'),
  coefficient('labour', 'spotext', 0.05, 0.08, 'Treating the spots first costs a round by hand'),
  coefficient('labour', 'lnsec', 0, 0.1, 'Many small sections: as the work content has it, give or take'),
  coefficient('labour', 'entry', 0.03, 0.06, 'An entry-grade extractor is a little slower at each pass'),
  coefficient('labour', 'high', -0.03, 0.06, 'A high-grade extractor is a little quicker at each pass'),
  coefficient('labour', 'crew', 0.04, 0.05, 'Two people in one vehicle stand in each other’s way'),
  coefficient('labour', 'crept', 0, 0.03, 'From one half-year to the next the hours creep by some three per cent'),
  coefficient(
    'labour',
    'before',
    0,
    0.3,
    'Before a change that the records show, a third more hours or a quarter fewer are nothing unusual',
  ),
  spread('labour', 'technician', 0.06, 'People differ in pace'),
  spread('labour', 'machine', 0.04, 'Extractors of one grade differ in pace'),
  logSigma(
    'labour',
    0.075,
    0.45,
    'What is left over between jobs, now and then a wild one (Student t, 4 degrees of freedom)',
  ),

  // Water: log litres a square metre left in. Reference: extraction, flat weave, two wet passes, one dry pass to each, standard machine.
  coefficient(
    'water',
    'int',
    -1.05,
    0.25,
    'A standard extractor leaves about a third of a litre a square metre in seat cloth and foam',
  ),
  coefficient('water', 'spot', -1.05, 0.3, 'Spot work leaves about a third of what extraction leaves'),
  coefficient('water', 'spotext', -0.05, 0.15, 'Spots first and extraction after leaves about the same as extraction'),
  coefficient('water', 'knit', 0.05, 0.15, 'Knit lets a bit more through to the foam'),
  coefficient('water', 'velour', 0.15, 0.15, 'Velour holds more'),
  coefficient('water', 'suede', -0.1, 0.2, 'Suede-like cloth is wetted less'),
  coefficient('water', 'loop', 0.2, 0.2, 'Loop carpet holds more than seat cloth'),
  coefficient('water', 'cut', 0.25, 0.2, 'Cut-pile carpet holds more than seat cloth'),
  coefficient('water', 'headlining', -0.6, 0.3, 'A headliner is wetted as little as can be'),
  coefficient('water', 'lwet', 0.6, 0.2, 'Twice the wet passes leave half as much again'),
  coefficient('water', 'dry', -0.22, 0.1, 'Each further dry pass to a wet one takes a fifth of it out'),
  coefficient('water', 'vac', -0.1, 0.1, 'A last round with the vacuum takes out a tenth of what is left'),
  coefficient('water', 'entry', 0.22, 0.15, 'An entry-grade extractor leaves a quarter more'),
  coefficient('water', 'high', -0.28, 0.15, 'A high-grade extractor leaves a quarter less'),
  coefficient(
    'water',
    'lost',
    0.06,
    0.1,
    'Tanks say a little more was left in than stays in the cloth: hoses, mist and dregs make it a sixteenth over two square metres',
  ),
  coefficient(
    'water',
    'crept',
    0,
    0.05,
    'From one half-year to the next the water left in creeps by some five per cent',
  ),
  coefficient(
    'water',
    'before',
    0,
    0.3,
    'Before a change that the records show, a third more water or a quarter less is nothing unusual',
  ),
  spread('water', 'technician', 0.2, 'People differ in the water they leave'),
  spread('water', 'machine', 0.15, 'Extractors of one grade differ in the water they leave'),
  logSigma('water', 0.18, 0.4, 'What is left over, shared by the sections of a job'),

  // Drying: log hours over the physical drying time of the wettest section. Reference: flat weave, still air.
  coefficient('drying', 'int', 0.15, 0.3, 'Cloth on foam dries slower than open water'),
  coefficient('drying', 'lwater', 0, 0.2, 'Twice the water takes twice the hours to dry; × 1 is just that'),
  coefficient(
    'drying',
    'lair',
    0,
    0.2,
    'Air that dries open water twice as fast dries cloth in half the time; × 1 is just that',
  ),
  coefficient('drying', 'knit', 0, 0.12, 'Knit dries like flat weave'),
  coefficient('drying', 'velour', 0.1, 0.15, 'Pile shades its own base and dries slower'),
  coefficient('drying', 'suede', 0.08, 0.15, 'Suede-like cloth dries a bit slower'),
  coefficient('drying', 'loop', 0.2, 0.2, 'Loop carpet on its pad dries slower'),
  coefficient('drying', 'cut', 0.25, 0.2, 'Cut-pile carpet on its pad dries slower'),
  coefficient('drying', 'headlining', -0.15, 0.25, 'A headliner is thin and dries faster'),
  coefficient(
    'drying',
    'looked',
    0,
    0.2,
    'Where only the look that found it dry is noted, how long before that it was dry is known to a fifth',
  ),
  coefficient('drying', 'notrem', 0.1, 0.15, 'Seats left in the vehicle dry a tenth slower than those that stand out'),
  coefficient(
    'drying',
    'a_unsaid',
    -0.1,
    0.25,
    'Where nobody said how it was dried, it is a tenth quicker than in still air, give or take',
  ),
  coefficient('drying', 'a_open', 0, 0.15, 'Open doors: as the physics says'),
  coefficient('drying', 'a_fan', 0, 0.2, 'A fan: as the physics says, give or take'),
  coefficient('drying', 'a_dehum', -0.05, 0.2, 'A dehumidifier keeps the air as dry as it was measured'),
  coefficient('drying', 'a_warm', 0, 0.2, 'A warm room: as the physics says'),
  coefficient('drying', 'a_sun', -0.25, 0.2, 'Sun warms the cloth above the air and dries it faster'),
  coefficient(
    'drying',
    'night',
    0,
    0.4,
    'At night, from 18:00 to 8:00, cloth dries as quickly as by day; half as long again, where the shop is shut and cools down, is nothing unusual',
  ),
  coefficient('drying', 'cosy', 0, 0.08, 'Season beyond the measured air, winter against summer'),
  coefficient('drying', 'siny', 0, 0.08, 'Season beyond the measured air, spring against autumn'),
  coefficient('drying', 'crept', 0, 0.05, 'From one half-year to the next drying creeps by some five per cent'),
  coefficient(
    'drying',
    'before',
    0,
    0.3,
    'Before a change that the records show, a third longer or a quarter shorter is nothing unusual',
  ),
  spread('drying', 'technician', 0.15, 'People differ in what they leave to dry beyond the litres'),
  logSigma('drying', 0.25, 0.4, 'What is left over between jobs'),

  // Giving up: not clean after that many passes, and the technician stops there.
  chance('giving-up', '1', 0.01, 'Hardly anyone stops after one pass that did not do it'),
  chance('giving-up', '2', 0.01, 'Hardly anyone stops after two passes that did not do it'),
  chance('giving-up', '3', 0.05, 'One in twenty stops after three passes'),
  chance('giving-up', '4', 0.2, 'One in five stops after four passes'),
  chance('giving-up', '5', 0.3, 'Three in ten stop after five passes'),
  chance('giving-up', '6', 0.4, 'Four in ten stop after six passes'),
  chance('giving-up', '7', 0.5, 'Half stop after each further pass'),
];

function coefficient(model: RuleModel, term: string, mean: number, sd: number, statement: string): RuleOfThumb {
  return { id: `${model}.${term}`, model, kind: 'coefficient', term, statement, mean, sd, provenance };
}

function spread(model: RuleModel, group: string, sd: number, statement: string): RuleOfThumb {
  return { id: `${model}.tau.${group}`, model, kind: 'spread', term: group, statement, mean: 0, sd, provenance };
}

function logSigma(model: RuleModel, sigma: number, sd: number, statement: string): RuleOfThumb {
  return {
    id: `${model}.sigma`,
    model,
    kind: 'log-sigma',
    term: 'sigma',
    statement,
    mean: Math.log(sigma),
    sd,
    provenance,
  };
}

function chance(model: RuleModel, term: string, mean: number, statement: string): RuleOfThumb {
  const sd = Math.sqrt((mean * (1 - mean)) / (chanceWeight + 1));
  return {
    id: `${model}.${term}`,
    model,
    kind: 'chance',
    term,
    statement,
    mean,
    sd,
    provenance,
  };
}
