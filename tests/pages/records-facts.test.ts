import { describe, expect, it } from 'vitest';
import { finishedJob } from '../../src/domain/record.ts';
import { defaultShopSettings } from '../../src/domain/shop-settings.ts';
import { recordExample } from '../../src/http/records-schemas.ts';
import { formatsFor } from '../../src/pages/format.ts';
import { factsOf } from '../../src/pages/records-facts.ts';

describe('contract: what a job’s page says of it', () => {
  it('tells the end of the work by the clock, day and time of one moment', () => {
    const finishedAt = '2025-03-04T23:59:45+00:00';
    const timeZone = 'Europe/London';
    const formats = formatsFor({ now: new Date(finishedAt), timeZone, settings: defaultShopSettings });
    const telling = { lists: { technicians: [], machines: [] }, formats };
    const facts = factsOf(finishedJob.parse({ ...recordExample, finishedAt }), telling).flatMap((group) => group.facts);
    expect(facts.find(({ label }) => label === 'ended')?.says).toBe('4 March 2025, 23:59');
  });
});
