import { readShopFit } from '../models/fit-codec.ts';
import { type FitRecord, readFit, readPosterior } from '../store/fits.ts';
import { publishByHand, withdrawByHand } from '../store/fits-by-hand.ts';
import { lockRun } from '../store/run-lock.ts';
import { inShop, type ShopTransaction } from '../store/shop-scope.ts';
import type { AppDeps } from './env.ts';
import { statusOf } from './status.ts';

/** What the owner decides about a fit against the night's own judgement. */
export interface FitDecision {
  readonly what: 'publish' | 'withdraw';
  readonly fitId: string;
  /** Who, in words that end the sentence: "with key 5f0c2d9a41be", "by Invented Ana". */
  readonly who: string;
  /** Why, in the owner's own words. */
  readonly why?: string | undefined;
}

/** The fit as it then is, or why nothing was changed, in words. */
type FitDecided =
  | { readonly fit: FitRecord }
  | { readonly status: typeof statusOf.notFound | typeof statusOf.conflict; readonly whyNot: string };

/** Publishes or withdraws a fit by hand, for programs and for people alike, and adds to its reason who did so and when. */
export function decideFit({ db, now }: Pick<AppDeps, 'db' | 'now'>, shopId: string, decision: FitDecision) {
  return inShop(db, shopId, async (tx): Promise<FitDecided> => {
    const { fitId, what } = decision;
    if (!(await lockRun(tx))) return conflict('A run of this shop is going: ask again when it is done');
    const fit = await readFit(tx, fitId);
    if (!fit) return { status: statusOf.notFound, whyNot: `This shop has no fit ${fitId}` };
    const words = wordsOf(decision, now());
    const refused = what === 'publish' ? await publish(tx, fit, words) : await withdraw(tx, fit, words);
    return refused === undefined ? { fit: (await readFit(tx, fitId)) ?? fit } : conflict(refused);
  });
}

/** Why not, in words; undefined where there is nothing against it. */
type Refused = string | undefined;

async function publish(tx: ShopTransaction, { fitId, status }: FitRecord, words: string): Promise<Refused> {
  if (status === 'published') return undefined;
  const refused = unusable(await readPosterior(tx, fitId), fitId);
  if (refused === undefined) await publishByHand(tx, fitId, words);
  return refused;
}

async function withdraw(tx: ShopTransaction, { fitId, status }: FitRecord, words: string): Promise<Refused> {
  if (status === 'withdrawn') return undefined;
  if (status !== 'published') return `Fit ${fitId} is ${status}: only the published one can be withdrawn`;
  await withdrawByHand(tx, fitId, words);
  return undefined;
}

function unusable(posterior: string | undefined, fitId: string): Refused {
  if (posterior === undefined) return `Fit ${fitId} failed: there is nothing to publish`;
  if (readShopFit(posterior) === undefined)
    return `Fit ${fitId} was made by another version of the program, which this one cannot read`;
  return undefined;
}

function wordsOf({ what, who, why }: FitDecision, now: Date): string {
  const at = now.toISOString();
  const done = what === 'publish' ? 'Published' : 'Withdrawn';
  const because = why === undefined ? '.' : `: ${why}`;
  return `${done} by hand on ${at.slice(0, 10)} at ${at.slice(11, 16)} UTC ${who}${because}`;
}

function conflict(whyNot: string): FitDecided {
  return { status: statusOf.conflict, whyNot };
}
