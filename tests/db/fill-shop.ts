import { randomUUID } from 'node:crypto';
import type { Database } from '../../db/open.ts';
import { inShop } from '../../src/store/shop-scope.ts';

/** Text that a careless copy would spoil: every control sign COPY escapes, quotes, signs beyond the first plane. */
export const awkward = 'tab\t line\nfeed\r back\\slash \\. \\N "quoted" \u2028 ä 東京 🧽 {"a":1}';

/**
 * Puts at least one row into every table for an invented shop. A new table needs its row here: the tests of row
 * security and of backups walk through the catalogue and fail on a table that stayed empty.
 */
export async function fillShop(db: Database, name: string): Promise<string> {
  const shopId = randomUUID();
  const fitId = randomUUID();
  await inShop(db, shopId, async ({ sql }) => {
    const record = sql.json({ ref: awkward, note: awkward, sections: [{ surfaceM2: 0.1 + 0.2 }] });
    const hash = Buffer.alloc(32, 0xf5);
    const at = new Date('2024-02-29T23:59:59.999Z');
    await sql`insert into shop ${sql({ shop_id: shopId, name, time_zone: 'Asia/Kathmandu', settings: record, invented: true })}`;
    await sql`insert into api_key ${sql({ shop_id: shopId, key_id: '0123456789ab', role: 'desk', label: awkward, secret_hash: hash, revoked_at: at })}`;
    await sql`insert into technician ${sql({ shop_id: shopId, key: 'same', name: awkward, active_from: '2024-02-29' })}`;
    await sql`insert into machine ${sql({ shop_id: shopId, key: 'same', name, kind: 'extractor', grade: 'high', water_lift_kpa: 0.1 + 0.2, price: 1e-7 })}`;
    await sql`insert into job ${sql({ shop_id: shopId, ref: awkward, version: 2, finished_at: at, record, digest: hash })}`;
    await sql`insert into job_version ${sql({ shop_id: shopId, ref: awkward, version: 1, record, digest: hash, reason: 'check' })}`;
    await sql`insert into job_confirmation ${sql({ shop_id: shopId, ref: awkward, version: 2, key_id: '0123456789ab', confirmed_at: at })}`;
    await sql`insert into fit ${sql({ shop_id: shopId, fit_id: fitId, data_state: '1.1.x', started_at: at, finished_at: at, status: 'published', n_jobs: 1, summary: record, posterior: awkward })}`;
    await sql`insert into estimate ${sql({ shop_id: shopId, estimate_id: randomUUID(), fit_id: fitId, request: '{"b":1,  "a":2}', answer: '{"b": 1.0, "b": 2}' })}`;
    await sql`insert into nightly_run ${sql({ shop_id: shopId, night: '2024-03-01', status: 'failed', error: awkward })}`;
    const personId = randomUUID();
    await sql`insert into person ${sql({ shop_id: shopId, person_id: personId, name: awkward, sign_in_name: 'same', role: 'desk', technician: 'same', left_at: at })}`;
    await sql`insert into session ${sql({ shop_id: shopId, session_id: 'same', person_id: personId, secret_hash: hash, device: awkward, begun_at: at, seen_at: at, ends_at: at })}`;
    await sql`insert into entry_link ${sql({ shop_id: shopId, link_id: 'same', person_id: personId, purpose: 'sign-in', secret_hash: hash, made_at: at, ends_at: at })}`;
    const importId = randomUUID();
    await sql`insert into import_file ${sql({ shop_id: shopId, import_id: importId, file_name: awkward, sent_at: at, profile: record, mapping: record })}`;
    await sql`insert into import_piece ${sql({ shop_id: shopId, import_id: importId, place: 0, content: hash })}`;
  });
  return shopId;
}
