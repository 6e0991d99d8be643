import { randomUUID } from 'node:crypto';
import { guessMapping, guessWords } from '../domain/csv-guess.ts';
import { type CsvMapping, csvMapping, mappingFaults, wordsToAsk } from '../domain/csv-mapping.ts';
import { type CsvProfile, mostColumns, profileOf } from '../domain/csv-profile.ts';
import { faultSaying } from '../domain/faults.ts';
import { type FormState, freshForm, withFaults } from '../pages/form-input.ts';
import { ImportCheck } from '../pages/import-check.tsx';
import { ImportColumns } from '../pages/import-columns.tsx';
import type { ImportReport } from '../pages/import-report.tsx';
import { type ImportProgress, ImportResult } from '../pages/import-result.tsx';
import { ImportUpload } from '../pages/import-upload.tsx';
import { ImportValues } from '../pages/import-values.tsx';
import {
  changeImport,
  dropImport,
  dropOldImports,
  importContent,
  keepImport,
  listImports,
  readImport,
  type StoredImport,
} from '../store/imports.ts';
import { readLists } from '../store/lists.ts';
import { csvRows } from './body-csv.ts';
import { isUtf8 } from './body-csv-records.ts';
import { UploadCut } from './body-limits.ts';
import type { AppDeps } from './env.ts';
import { formOf } from './form-of.ts';
import { columnsFrom, valuesFrom } from './import-forms.ts';
import { firstRows, type ImportReading } from './import-records.ts';
import { dryRun, ImportRuns, type ImportTask } from './import-runs.ts';
import type { PageContext } from './pages-env.ts';
import { noSuchPage } from './pages-errors.tsx';
import { sentForm } from './pages-form.ts';
import { show, statusFor } from './pages-show.tsx';
import { inOwnShop, newPages, sessionGuard } from './sessions.ts';

const largestMegabytes = 20;
const largestFile = largestMegabytes * 1_000_000;
/** The parts about the file in the sent form. */
const formAround = 10_000;
/** A file that is done by then is answered at once. */
const patienceMs = 2_000;
/** A run that has said nothing for so long, and is none of this process, has ended with its process. */
const silentMs = 60_000;

/** Taking in a spreadsheet: the file, its columns, its words, the check, the work. */
export function importPages(deps: AppDeps) {
  const guard = sessionGuard(deps);
  const owner = guard('owner');
  const runs = new ImportRuns(deps);
  return newPages()
    .get('/import', owner, (c) => uploadPage(c, deps, freshForm))
    .post('/import', guard('owner', { largestBody: largestFile + formAround }), (c) => receive(c, deps))
    .get('/import/:id/columns', owner, (c) => withFile(c, deps, (file) => columnsPage(c, deps, file, freshForm)))
    .post('/import/:id/columns', owner, (c) => withFile(c, deps, (file) => chooseColumns(c, deps, file)))
    .get('/import/:id/values', owner, (c) => withFile(c, deps, (file) => valuesPage(c, deps, file, freshForm)))
    .post('/import/:id/values', owner, (c) => withFile(c, deps, (file) => chooseValues(c, deps, file)))
    .get('/import/:id/check', owner, (c) => withFile(c, deps, (file) => checkPage(c, deps, file)))
    .post('/import/:id/missing', owner, (c) => withFile(c, deps, (file) => chooseMissing(c, deps, file)))
    .post('/import/:id/take-in', owner, (c) => withFile(c, deps, (file) => takeIn(c, file, runs)))
    .get('/import/:id/result', owner, (c) => withFile(c, deps, (file) => resultPage(c, deps, file, runs)))
    .post('/import/:id/forget', owner, (c) => withFile(c, deps, (file) => forget(c, deps, file)));
}

interface OpenFile extends Omit<StoredImport, 'profile' | 'mapping'> {
  readonly base: string;
  readonly profile: CsvProfile;
  readonly mapping: CsvMapping;
}

async function withFile(
  c: PageContext,
  { db }: AppDeps,
  work: (file: OpenFile) => Promise<Response>,
): Promise<Response> {
  const id = c.req.param('id') ?? '';
  if (!/^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$/.test(id)) return noSuchPage(c);
  const stored = await inOwnShop(c, db, (tx) => readImport(tx, id));
  if (!stored) return noSuchPage(c);
  // The profile was written by `receive` below.
  const file = { ...stored, profile: stored.profile as CsvProfile, mapping: csvMapping.parse(stored.mapping) };
  return work({ ...file, base: `/import/${id}` });
}

async function uploadPage(c: PageContext, { db, now }: AppDeps, form: FormState): Promise<Response> {
  const files = await inOwnShop(c, db, async (tx) => {
    await dropOldImports(tx, now());
    return listImports(tx);
  });
  const shown = files.map(({ importId, fileName, sentAt, state }) => {
    const step = state === 'waiting' ? 'columns' : 'result';
    return { href: `/import/${importId}/${step}`, fileName, sentAt, state };
  });
  const body = (
    <ImportUpload form={form} files={shown} largestMegabytes={largestMegabytes} formats={c.get('formats')} />
  );
  return show(c, { title: 'Take in a spreadsheet', status: statusFor(form) }, body);
}

async function receive(c: PageContext, deps: AppDeps): Promise<Response> {
  const file = (await formOf(c)).get('file');
  const content = file instanceof File ? Buffer.from(await file.arrayBuffer()) : Buffer.alloc(0);
  const read = await profileOrFault(content);
  if ('fault' in read) return uploadPage(c, deps, withFaults(freshForm, [faultSaying(['file'], read.fault)]));
  const { profile } = read;
  const { settings } = c.get('session').shop;
  const guess = guessMapping(profile, { dayOrder: settings.units === 'us' ? 'month-day' : 'day-month' });
  const importId = randomUUID();
  const fileName = nameOf(file instanceof File ? file.name : '');
  await inOwnShop(c, deps.db, async (tx) => {
    const mapping = { ...guess, words: guessWords(profile, guess, await readLists(tx)) };
    await keepImport(tx, { importId, fileName, sentAt: deps.now(), profile, mapping, content });
  });
  return c.redirect(`/import/${importId}/columns`, 303);
}

type Profiled = { readonly profile: CsvProfile } | { readonly fault: string };

async function profileOrFault(content: Buffer): Promise<Profiled> {
  if (content.length === 0) return { fault: 'Choose a file; what came was empty.' };
  if (content.length > largestFile)
    return { fault: `The file is larger than ${largestMegabytes} MB: send it in parts.` };
  const bytes = async function* () {
    yield content;
  };
  if (!(await isUtf8(bytes())))
    return {
      fault: 'The file is not UTF-8: save the sheet anew as “CSV UTF-8”, or its special letters would be lost.',
    };
  try {
    const profile = await profileOf(csvRows(bytes()));
    if (!profile || profile.rows === 0) return { fault: 'The file has no row below its headings.' };
    if (profile.header.length > mostColumns) return { fault: `The file has more than ${mostColumns} columns.` };
    return { profile };
  } catch (error) {
    if (error instanceof UploadCut) return { fault: `The file cannot be read as CSV. ${error.message}.` };
    throw error;
  }
}

async function columnsPage(c: PageContext, { db }: AppDeps, file: OpenFile, form: FormState): Promise<Response> {
  if (file.state !== 'waiting') return c.redirect(`${file.base}/result`, 303);
  const lists = await inOwnShop(c, db, readLists);
  return show(
    c,
    { title: 'Which column is what', status: statusFor(form) },
    <ImportColumns {...file} lists={lists} form={form} />,
  );
}

async function chooseColumns(c: PageContext, deps: AppDeps, file: OpenFile): Promise<Response> {
  const { input, form } = await sentForm(c);
  const { mapping, faults } = columnsFrom(input, file.mapping, file.profile);
  if (faults.length > 0) return columnsPage(c, deps, file, withFaults(form, faults));
  const lists = await inOwnShop(c, deps.db, readLists);
  const words = guessWords(file.profile, mapping, lists);
  return storeAndGo(c, deps, file, { ...mapping, words }, 'values');
}

async function valuesPage(c: PageContext, deps: AppDeps, file: OpenFile, form: FormState): Promise<Response> {
  if (notReady(file)) return c.redirect(`${file.base}/columns`, 303);
  const lists = await inOwnShop(c, deps.db, readLists);
  const mapping = { ...file.mapping, words: guessWords(file.profile, file.mapping, lists) };
  const props = { ...file, mapping, lists, form, timeZone: c.get('session').shop.timeZone };
  return show(c, { title: 'Units and words', status: statusFor(form) }, <ImportValues {...props} />);
}

async function chooseValues(c: PageContext, deps: AppDeps, file: OpenFile): Promise<Response> {
  const { input, form } = await sentForm(c);
  const lists = await inOwnShop(c, deps.db, readLists);
  const asked = { ...file.mapping, words: guessWords(file.profile, file.mapping, lists) };
  const { mapping, faults } = valuesFrom(input, asked);
  if (faults.length > 0) return valuesPage(c, deps, file, withFaults(form, faults));
  return storeAndGo(c, deps, file, mapping, 'check');
}

async function checkPage(c: PageContext, deps: AppDeps, file: OpenFile): Promise<Response> {
  if (notReady(file)) return c.redirect(`${file.base}/columns`, 303);
  if (wordsToAsk(file.mapping).length > 0) return c.redirect(`${file.base}/values`, 303);
  const task = taskOf(c, file);
  const dry = await dryRun(deps, task);
  const sample = await firstRows(importContent(deps.db, task.shopId, file.importId), task.reading, 5);
  const { createMissing } = file.mapping;
  const props = { ...file, ...dry, createMissing, sample, formats: c.get('formats') };
  return show(c, { title: 'Check before taking in', wide: true }, <ImportCheck {...props} />);
}

async function chooseMissing(c: PageContext, deps: AppDeps, file: OpenFile): Promise<Response> {
  const { input } = await sentForm(c);
  return storeAndGo(c, deps, file, { ...file.mapping, createMissing: input.createMissing === 'yes' }, 'check');
}

async function takeIn(c: PageContext, file: OpenFile, runs: ImportRuns): Promise<Response> {
  if (mappingFaults(file.mapping, file.profile.header.length).length > 0)
    return c.redirect(`${file.base}/columns`, 303);
  if (wordsToAsk(file.mapping).length > 0) return c.redirect(`${file.base}/values`, 303);
  if (file.state !== 'done') await runs.take(taskOf(c, file), patienceMs);
  return c.redirect(`${file.base}/result`, 303);
}

async function resultPage(c: PageContext, { now }: AppDeps, file: OpenFile, runs: ImportRuns): Promise<Response> {
  if (file.state === 'waiting' && !runs.isRunning(file.importId)) return c.redirect(`${file.base}/check`, 303);
  const progress = progressOf(file, runs, now());
  if (progress.kind === 'going') c.header('Refresh', '2');
  const title = progress.kind === 'done' ? 'Taken in' : progress.kind === 'going' ? 'Being taken in' : 'Broken off';
  const { base, fileName } = file;
  return show(c, { title, wide: true }, <ImportResult {...{ base, fileName, progress }} formats={c.get('formats')} />);
}

function progressOf(file: OpenFile, runs: ImportRuns, now: Date): ImportProgress {
  // The report was written by `takeIn` of import-runs.ts.
  if (file.state === 'done') return { kind: 'done', report: file.report as ImportReport };
  const silent = now.getTime() - (file.reachedAt?.getTime() ?? 0) > silentMs;
  const kind = runs.isRunning(file.importId) || !silent ? 'going' : 'broken';
  return { kind, line: file.lineReached, lines: file.profile.lastLine };
}

async function forget(c: PageContext, { db }: AppDeps, file: OpenFile): Promise<Response> {
  await inOwnShop(c, db, (tx) => dropImport(tx, file.importId));
  return c.redirect('/import', 303);
}

async function storeAndGo(c: PageContext, { db }: AppDeps, file: OpenFile, mapping: CsvMapping, step: string) {
  if (file.state === 'waiting') await inOwnShop(c, db, (tx) => changeImport(tx, file.importId, { mapping }));
  return c.redirect(`${file.base}/${step}`, 303);
}

function notReady({ state, mapping, profile }: OpenFile): boolean {
  return state !== 'waiting' || mappingFaults(mapping, profile.header.length).length > 0;
}

function taskOf(c: PageContext, { importId, profile, mapping }: OpenFile): ImportTask {
  const reading: ImportReading = { profile, mapping, timeZone: c.get('session').shop.timeZone };
  return { shopId: shopIdOf(c), importId, reading };
}

function shopIdOf(c: PageContext): string {
  return c.get('session').shop.shopId;
}

function nameOf(name: string): string {
  return (
    name
      .replace(/[\p{Cc}\p{Cs}]/gu, '')
      .slice(0, 100)
      .trim() || 'spreadsheet.csv'
  );
}
