import { z } from 'zod';
import { readBy } from '../domain/faults.ts';
import { machinesSentence } from '../insight/machines/report.ts';
import { upgradeRequest } from '../insight/machines/upgrade.ts';
import { quotesSentence } from '../insight/quotes/report.ts';
import { trackSentence } from '../insight/track-sentence.ts';
import { type Finding, Findings } from '../pages/findings.tsx';
import { ComebacksPage } from '../pages/findings-comebacks.tsx';
import { MachinesPage } from '../pages/findings-machines.tsx';
import { QuotesPage } from '../pages/findings-quotes.tsx';
import { Upgrade } from '../pages/findings-upgrade.tsx';
import { upgradeFaultWords } from '../pages/findings-upgrade-faults.ts';
import { WetnessPage } from '../pages/findings-wetness.tsx';
import { type FormState, freshForm, type SentForm, withFaults } from '../pages/form-input.ts';
import { readMachines } from '../store/lists.ts';
import type { AppDeps } from './env.ts';
import { csvFile } from './pages-csv.ts';
import type { PageContext } from './pages-env.ts';
import { noSuchPage } from './pages-errors.tsx';
import { askedForm } from './pages-form.ts';
import { show, statusFor } from './pages-show.tsx';
import { comebackTable, machinesTable, quotesTable, wetnessTable } from './report-tables.ts';
import { inOwnShop, newPages, sessionGuard } from './sessions.ts';
import type { Shared } from './shared.ts';

/** What the records say of quotes, machines, people and comebacks. */
export function findingsPages(deps: AppDeps, { reports }: Shared) {
  const guard = sessionGuard(deps);
  const shopOf = (c: PageContext) => c.get('session').shop.shopId;
  return newPages()
    .get('/findings', guard('desk'), async (c) => {
      const answers = await answersFor(c, reports);
      return show(c, { title: 'Findings' }, <Findings answers={answers} formats={c.get('formats')} />);
    })
    .get('/findings/quotes', guard('desk'), (c) => quotesPage(c, reports))
    .get('/findings/quotes.csv', guard('desk'), async (c) =>
      csvFile(c, 'quotes', quotesTable(await reports.quotes(shopOf(c), askedRisk(c).risk))),
    )
    .get('/findings/machines', guard('desk'), (c) => machinesPage(c, deps, reports))
    .get('/findings/machines.csv', guard('desk'), async (c) => {
      const report = await reports.machines(shopOf(c), c.req.query('baseline'));
      return 'whyNot' in report ? noSuchPage(c) : csvFile(c, 'machines', machinesTable(report));
    })
    .get('/findings/wetness', guard('desk'), async (c) => {
      const report = await reports.wetness(shopOf(c));
      const page = { title: 'Who leaves too much water in?', wide: true };
      return show(c, page, <WetnessPage report={report} formats={c.get('formats')} />);
    })
    .get('/findings/wetness.csv', guard('desk'), async (c) =>
      csvFile(c, 'water-left-in', wetnessTable(await reports.wetness(shopOf(c)))),
    )
    .get('/findings/comebacks', guard('desk'), async (c) => {
      const report = await reports.comebacks(shopOf(c));
      return show(
        c,
        { title: 'What came back?', wide: true },
        <ComebacksPage report={report} formats={c.get('formats')} />,
      );
    })
    .get('/findings/comebacks.csv', guard('desk'), async (c) =>
      csvFile(c, 'comebacks', comebackTable(await reports.comebacks(shopOf(c)))),
    );
}

type Reports = Shared['reports'];

/** The questions, each with its report's answer. */
async function answersFor(c: PageContext, reports: Reports): Promise<Finding[]> {
  const { shop } = c.get('session');
  const quotes = {
    question: 'Are our quotes right?',
    href: '/findings/quotes',
    answer: quotesSentence(await reports.quotesInShort(shop.shopId)),
  };
  const track = {
    question: 'How far can these figures be trusted?',
    href: '/findings/track-record',
    answer: trackSentence(await reports.trackRecord(shop.shopId)),
  };
  const machines = await reports.machines(shop.shopId);
  return [
    quotes,
    {
      question: 'Which extractor does the work in fewer hours, and would a better one pay?',
      href: '/findings/machines',
      answer: 'whyNot' in machines ? machines.whyNot : machinesSentence(machines),
    },
    {
      question: 'Who leaves too much water in?',
      href: '/findings/wetness',
      answer: (await reports.wetness(shop.shopId)).answer,
    },
    track,
  ];
}

async function quotesPage(c: PageContext, reports: Reports): Promise<Response> {
  const { risk, form } = askedRisk(c);
  const report = await reports.quotes(c.get('session').shop.shopId, risk);
  const page = { title: 'Are our quotes right?', wide: true, status: statusFor(form) };
  return show(c, page, <QuotesPage report={report} form={form} formats={c.get('formats')} />);
}

const quotesAsked = z.object({
  percent: z.number().gt(0).lt(100).optional().describe('a number above 0 and below 100'),
});

/** The share that may run over, as asked; without a good one that of the shop. */
function askedRisk(c: PageContext): { readonly risk: number | undefined; readonly form: FormState } {
  const { input, form } = askedForm(c);
  const read = readBy(quotesAsked, input);
  if (!read.ok) return { risk: undefined, form: withFaults(form, read.faults) };
  const { percent } = read.value;
  return percent === undefined ? { risk: undefined, form: freshForm } : { risk: percent / 100, form };
}

async function machinesPage(c: PageContext, deps: AppDeps, reports: Reports): Promise<Response> {
  const { shopId } = c.get('session').shop;
  const formats = c.get('formats');
  const { input, form } = askedForm(c);
  const { baseline, ...asked } = input;
  const report = await reports.machines(shopId, typeof baseline === 'string' ? baseline : undefined);
  if ('whyNot' in report) return noSuchPage(c);
  const owned = await inOwnShop(c, deps.db, readMachines);
  const upgrade = await upgradeOf(c, reports, { input: asked, form });
  const body = (
    <>
      <MachinesPage report={report} formats={formats} />
      <Upgrade {...upgrade} owned={owned} formats={formats} />
    </>
  );
  const title = 'Which extractor does the work in fewer hours?';
  return show(c, { title, wide: true, status: statusFor(upgrade.form) }, body);
}

/** The question of an upgrade where one was asked. */
async function upgradeOf(c: PageContext, reports: Reports, { input, form }: SentForm) {
  if (Object.keys(input).length === 0) return { form: freshForm };
  const read = readBy(upgradeRequest, input);
  if (!read.ok) return { form: withFaults(form, upgradeFaultWords(read.faults, form, c.get('formats').units)) };
  const report = await reports.upgrade(c.get('session').shop.shopId, read.value);
  return 'whyNot' in report ? { form, whyNot: report.whyNot } : { form, answered: { ask: read.value, report } };
}
