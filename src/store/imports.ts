import { and, asc, desc, eq, inArray, lt, ne } from 'drizzle-orm';
import { importFile, importPiece, type importStates } from '../../db/schema.ts';
import { type Database, inShop, type ShopTransaction } from './shop-scope.ts';

/** A spreadsheet on its way in. What it says of the file and of the reading is for whoever wrote it to understand. */
export interface StoredImport {
  readonly importId: string;
  readonly fileName: string;
  readonly sentAt: Date;
  readonly profile: unknown;
  readonly mapping: unknown;
  readonly state: (typeof importStates)[number];
  readonly lineReached: number;
  readonly reachedAt: Date | null;
  readonly report: unknown;
}

interface NewImport {
  readonly importId: string;
  readonly fileName: string;
  readonly sentAt: Date;
  readonly profile: unknown;
  readonly mapping: unknown;
  readonly content: Buffer;
}

/** Longer than any afternoon's work on a sheet. */
const keptMs = 24 * 3600_000;
const pieceSize = 256 * 1024;

/** Keeps a file for as long as it is being worked on. */
export async function keepImport(tx: ShopTransaction, { content, ...told }: NewImport): Promise<void> {
  await tx.orm.insert(importFile).values({ shopId: tx.shopId, ...told });
  for (let place = 0; place * pieceSize < content.length; place++) {
    const piece = content.subarray(place * pieceSize, (place + 1) * pieceSize);
    await tx.orm.insert(importPiece).values({ shopId: tx.shopId, importId: told.importId, place, content: piece });
  }
}

/** The files still there, the newest first; the bytes are not read. */
export async function listImports(tx: ShopTransaction): Promise<StoredImport[]> {
  return tx.orm.select(told).from(importFile).orderBy(desc(importFile.sentAt), asc(importFile.importId));
}

export async function readImport(tx: ShopTransaction, importId: string): Promise<StoredImport | undefined> {
  const [found] = await tx.orm.select(told).from(importFile).where(eq(importFile.importId, importId));
  return found;
}

/** Changes how it is read, or says how far it is. */
export async function changeImport(
  tx: ShopTransaction,
  importId: string,
  change: Partial<Pick<StoredImport, 'mapping' | 'state' | 'lineReached' | 'reachedAt' | 'report'>>,
): Promise<void> {
  await tx.orm.update(importFile).set(change).where(eq(importFile.importId, importId));
}

/** Notes that taking in begins; false where it is done already, for then the bytes are gone. */
export async function beginTaking(tx: ShopTransaction, importId: string, reachedAt: Date): Promise<boolean> {
  const begun = await tx.orm
    .update(importFile)
    .set({ state: 'taking', lineReached: 0, reachedAt })
    .where(and(eq(importFile.importId, importId), ne(importFile.state, 'done')))
    .returning({ importId: importFile.importId });
  return begun.length > 0;
}

/** The bytes, piece by piece, each in a transaction of its own: a slow reader holds no connection. */
export async function* importContent(
  db: Pick<Database, 'sql'>,
  shopId: string,
  importId: string,
): AsyncGenerator<Buffer> {
  for (let place = 0; ; place++) {
    const [piece] = await inShop(db, shopId, (tx) =>
      tx.orm
        .select({ content: importPiece.content })
        .from(importPiece)
        .where(and(eq(importPiece.importId, importId), eq(importPiece.place, place))),
    );
    if (!piece) return;
    yield piece.content;
  }
}

/** The bytes go; what became of the file can still be read for a while. */
export async function dropContent(tx: ShopTransaction, importId: string): Promise<void> {
  await tx.orm.delete(importPiece).where(eq(importPiece.importId, importId));
}

export async function dropImport(tx: ShopTransaction, importId: string): Promise<void> {
  await dropContent(tx, importId);
  await tx.orm.delete(importFile).where(eq(importFile.importId, importId));
}

/** Files older than a day. */
export async function dropOldImports(tx: ShopTransaction, now: Date): Promise<void> {
  const isOld = lt(importFile.sentAt, new Date(now.getTime() - keptMs));
  const old = tx.orm.select({ importId: importFile.importId }).from(importFile).where(isOld);
  await tx.orm.delete(importPiece).where(inArray(importPiece.importId, old));
  await tx.orm.delete(importFile).where(isOld);
}

const { importId, fileName, sentAt, profile, mapping, state, lineReached, reachedAt, report } = importFile;
const told = { importId, fileName, sentAt, profile, mapping, state, lineReached, reachedAt, report };
