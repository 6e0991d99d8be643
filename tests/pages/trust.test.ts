import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Role } from '../../src/domain/vocabulary.ts';
import { scoresVersion } from '../../src/insight/scoring/month-basis.ts';
import { emptyModels, type ModelMonth } from '../../src/insight/scoring/month-scores.ts';
import { publishFit } from '../../src/store/fits.ts';
import { inShop } from '../../src/store/shop-scope.ts';
import { readShopSettings, replaceShopSettings } from '../../src/store/shops.ts';
import { type AppUnderTest, now, startApp } from '../http/app-under-test.ts';
import { get, type SignedIn, signedIn, textOf } from './pages-under-test.ts';

let app: AppUnderTest;
beforeAll(async () => {
  app = await startApp();
});
afterAll(() => app.close());

const page = async (path: string, who: SignedIn) => {
  const answer = await get(app, path, who.cookie);
  return { status: answer.status, html: await textOf(answer), type: answer.headers.get('content-type') };
};

/** A shop whose fit in use forecast `n` jobs of one month, 8 in 10 of them inside the 80 % range, half as far off as the rule of thumb: of hours and water, or of all figures. */
async function shopWithScores(n: number, all = false) {
  const { shopId } = await app.openShop();
  const one: ModelMonth = {
    ...emptyModels().labour,
    n,
    score: 0.1 * n,
    ruleOfThumb: { n, own: 0.1 * n, other: 0.2 * n, gapSquares: 0.011 * n },
    inside80: 0.8 * n,
    nExact: n,
    miss: 0.15 * n,
  };
  const others = all ? { passes: one, drying: { ...one, nExact: 0 } } : {};
  const models = { ...emptyModels(), labour: one, water: one, ...others };
  const evidence = { passes: 0.2, labourHours: 0.4, water: 0.6, dryHours: 0.3 };
  const months = [{ month: '2025-02', jobsKnown: 30, jobs: n, basis: 'b', failed: null, models, evidence }];
  const scores = { version: scoresVersion, months, verdict: { publish: true, reasons: [], notes: ['A note.'] } };
  const about = { fitId: randomUUID(), dataState: 'x', startedAt: now, finishedAt: now, reason: null, nJobs: 30 + n };
  const later = { ...evidence, labourHours: 0.7 };
  await inShop(app.db, shopId, (tx) =>
    publishFit(tx, { ...about, summary: { evidence: later }, scores, posterior: 'not read here' }),
  );
  return { shopId, who: (role: Role) => signedIn(app, shopId, role) };
}

describe('contract: the page of the track record', () => {
  it('answers desk and owner in one sentence, with picture and table, and the technician not at all', async () => {
    const { who } = await shopWithScores(100);
    for (const role of ['desk', 'owner'] as const) {
      const { html } = await page('/findings/track-record', await who(role));
      expect(html).toContain(
        '<p class="answer">On 100 jobs forecast before they were seen, the 80 % ranges held four times in five for hours and water left in, and each was closer than the rule of thumb.</p>',
      );
      expect(html).toContain('<svg');
      expect(html).toContain('Feb 2025');
      expect(html).toContain('A note.');
    }
    for (const path of ['/findings/track-record', '/findings/track-record.csv', '/findings/evidence'])
      expect((await page(path, await who('technician'))).status, path).toBe(403);
  });

  it('gives each figure that it is off by with its unit, and says what points are', async () => {
    const { html } = await page('/findings/track-record', await (await shopWithScores(100, true)).who('desk'));
    expect(html.replace(/\s+/g, ' ')).toContain(
      'Jobs are read as they are recorded today, those entered late or mended since',
    );
    for (const figure of ['0.100 passes', '0.10 h', '0.10 L/m²', '0.100 points'])
      expect(html, figure).toContain(`>${figure}</td>`);
    expect(html).toContain('0 would be perfect');
    expect(html).toContain('a check costs 0 where its answer, dry or wet, was forecast for sure, 1 where');
  });

  it('says of few that they are few, and of none that there are none, with no picture of nothing', async () => {
    const few = await page('/findings/track-record', await (await shopWithScores(7)).who('owner'));
    expect(few.html).toContain('Only 7 jobs have been forecast before they were seen: too few');
    const { shopId } = await app.openShop();
    const none = await page('/findings/track-record', await signedIn(app, shopId, 'owner'));
    expect(none.html).toContain('No forecast has met its outcome yet');
    expect(none.html).not.toContain('<svg');
  });

  it('writes water in the units of the shop, and gives the numbers as CSV in SI', async () => {
    const { shopId, who } = await shopWithScores(100);
    await inShop(app.db, shopId, async (tx) =>
      replaceShopSettings(tx, { ...(await readShopSettings(tx)), units: 'us' }),
    );
    // NIST Handbook 44: a US fluid ounce is 0.0295735 L, a square metre 10.7639 ft²; 0.1 / 0.0295735 / 10.7639 is 0.314.
    expect((await page('/findings/track-record', await who('owner'))).html).toContain('0.31 fl oz/ft²');
    const csv = await page('/findings/track-record.csv', await who('desk'));
    expect(csv.type).toContain('text/csv');
    expect(csv.html.split('\r\n').find((line) => line.includes('water'))).toMatch(/^2025-02,30,water,100,0\.1,0\.2,/);
  });
});

describe('contract: the page of the evidence', () => {
  it('shows it growing from the months before to the latest night', async () => {
    const { who } = await shopWithScores(20);
    const { html } = await page('/findings/evidence', await who('desk'));
    expect(html).toContain('the hours 70 %, the water 60 %');
    const cells = (text: string) => text.replace(/ data-label="[^"]*"/g, '');
    expect(cells(html)).toContain('<th scope="row">1 February 2025</th><td>30</td><td>20 %</td><td>40 %</td>');
    const csv = (await page('/findings/evidence.csv', await who('desk'))).html.split('\r\n');
    expect(csv.slice(0, 3)).toEqual([
      'at,jobs,passes_own_share,hours_own_share,water_own_share,drying_own_share',
      '2025-02-01T00:00:00.000Z,30,0.2,0.4,0.6,0.3',
      '2025-03-05T10:00:00.000Z,50,0.2,0.7,0.6,0.3',
    ]);
  });

  it('says so where nothing is known yet', async () => {
    const { shopId } = await app.openShop();
    const { html } = await page('/findings/evidence', await signedIn(app, shopId, 'owner'));
    expect(html).toContain('after the next night');
    expect(html).not.toContain('<svg');
  });
});
