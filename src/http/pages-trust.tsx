import { EvidencePage } from '../pages/trust-evidence.tsx';
import { RecordingPage } from '../pages/trust-recording.tsx';
import { TrackPage } from '../pages/trust-track.tsx';
import { readLists } from '../store/lists.ts';
import type { ShopTransaction } from '../store/shop-scope.ts';
import type { AppDeps } from './env.ts';
import { csvFile } from './pages-csv.ts';
import { show } from './pages-show.tsx';
import { evidenceTable } from './pages-trust-tables.ts';
import { recordingTable, trackTable } from './report-tables.ts';
import { inOwnShop, newPages, sessionGuard } from './sessions.ts';
import type { Shared } from './shared.ts';

/** How far the figures can be trusted: what was forecast against what came, and how much of it is the shop's own. */
export function trustPages(deps: AppDeps, { reports }: Shared) {
  const guard = sessionGuard(deps);
  return newPages()
    .get('/findings/track-record', guard('desk'), async (c) => {
      const record = await reports.trackRecord(c.get('session').shop.shopId);
      const page = { title: 'Track record', wide: true };
      return show(c, page, <TrackPage record={record} formats={c.get('formats')} />);
    })
    .get('/findings/track-record.csv', guard('desk'), async (c) =>
      csvFile(c, 'track-record', trackTable(await reports.trackRecord(c.get('session').shop.shopId))),
    )
    .get('/findings/evidence', guard('desk'), async (c) => {
      const points = await reports.evidence(c.get('session').shop.shopId);
      const page = { title: 'How much is our own', wide: true };
      return show(c, page, <EvidencePage points={points} formats={c.get('formats')} />);
    })
    .get('/findings/evidence.csv', guard('desk'), async (c) =>
      csvFile(c, 'evidence', evidenceTable(await reports.evidence(c.get('session').shop.shopId))),
    )
    .get('/findings/what-to-record', guard('desk'), async (c) => {
      const report = await reports.whatToRecord(c.get('session').shop.shopId);
      const names = await inOwnShop(c, deps.db, namesByKey);
      const page = { title: 'What to record', wide: true };
      return show(c, page, <RecordingPage report={report} names={names} formats={c.get('formats')} />);
    })
    .get('/findings/what-to-record.csv', guard('desk'), async (c) =>
      csvFile(c, 'what-to-record', recordingTable(await reports.whatToRecord(c.get('session').shop.shopId))),
    );
}

/** The names of technicians and machines. */
export async function namesByKey(tx: ShopTransaction): Promise<ReadonlyMap<string, string>> {
  const { technicians, machines } = await readLists(tx);
  return new Map([...technicians, ...machines].map(({ key, name }) => [key, name] as const));
}
