import type { PersonComebacks } from '../insight/wetness/comeback-rates.ts';
import { concerning } from '../insight/wetness/multipliers.ts';
import type { TechnicianWetness, WetnessReport } from '../insight/wetness/report.ts';
import { datesInWords } from './dates-in-words.ts';
import { Figure, type FigureTable, NumbersTable } from './figure.tsx';
import { rangePicture } from './findings-intervals.ts';
import { chanceText, factorText, ninetyPercent, signed } from './findings-words.ts';
import type { Formats } from './format.ts';
import { Notice } from './notice.tsx';

interface WetnessProps {
  readonly report: WetnessReport;
  readonly formats: Formats;
}

/** Who leaves too much water in: for coaching, with what else could explain it beside. */
export function WetnessPage({ report, formats }: WetnessProps) {
  const { technicians, measuredJobs } = report;
  return (
    <>
      <p class="answer">{datesInWords(report.answer, formats)}</p>
      <Notice kind="caution">
        <p>
          <strong>For coaching.</strong> {report.caution.replace(/^For coaching: f/, 'F')}
        </p>
      </Notice>
      {technicians.length > 0 && measuredJobs > 0 && (
        <>
          <WaterFigure {...{ technicians, formats }} />
          <div class="side-by-side">
            <Points title="What to look at" points={report.lookAt} />
            <Points title="What else could explain it" points={report.alsoPossible} />
          </div>
          <h2>Drying, comebacks, and how sure</h2>
          <NumbersTable
            caption={`Drying and comebacks are against the others on the same work. ${ninetyPercent}${latelyWords(technicians)}`}
            table={besideTable(technicians, formats)}
          />
          <p>{report.comebackBasis}</p>
        </>
      )}
      <p>{report.jobsToBeSure}</p>
      <h2>Second passes to be safe</h2>
      <p>{report.secondPasses}</p>
    </>
  );
}

function Points({ title, points }: { title: string; points: readonly string[] }) {
  return (
    <section>
      <h2>{title}</h2>
      <ul>
        {points.map((point) => (
          <li>{point}</li>
        ))}
      </ul>
    </section>
  );
}

function WaterFigure({ technicians, formats }: { technicians: readonly TechnicianWetness[]; formats: Formats }) {
  const rows = technicians.map((one) => ({
    name: one.name,
    full: one.waterWithHabit,
    thin: one.waterAtEqualDryPasses,
  }));
  return (
    <Figure
      title="Water left in, times what the others leave on the same work"
      alternative={`${technicians.map((one) => `${one.name} ${factorText(one.waterWithHabit, formats)}`).join('; ')}. Worth a word from × ${concerning} on.`}
      options={rangePicture({
        groups: [{ rows }],
        lines: [
          { at: 1, says: '× 1' },
          { at: concerning, says: `× ${concerning}` },
        ],
        tick: (value) => `× ${value}`,
        isLog: true,
        marginLeft: 148,
      })}
      table={waterTable(technicians, formats)}
    >
      <p>
        <b class="mark-1">Thick line, full dot</b>: with each one’s own habit of dry passes and last rounds with the
        vacuum, as it reaches the customer. <b class="mark-2">Thin line, hollow dot</b>: at equal dry passes, trigger
        and nozzle alone. Each line holds nine times in ten; × 1 is like the others, below × {concerning} a difference
        is not worth a word.
      </p>
    </Figure>
  );
}

function waterTable(technicians: readonly TechnicianWetness[], formats: Formats): FigureTable {
  return {
    columns: [
      'Technician',
      'Measured jobs',
      'Water left in, own dry passes (90 % range)',
      `Chance of more than × ${concerning}, own dry passes`,
      'At equal dry passes (90 % range)',
      `Chance of more than × ${concerning}, at equal dry passes`,
      'Dry passes to a wet one, against the others',
    ],
    rows: technicians.map((one) => [
      one.name,
      formats.number(one.measuredJobs),
      factorText(one.waterWithHabit, formats),
      chanceText(one.waterWithHabit.chanceAbove, formats),
      factorText(one.waterAtEqualDryPasses, formats),
      chanceText(one.waterAtEqualDryPasses.chanceAbove, formats),
      signed(one.dryPassesPerWetGap, 2, formats),
    ]),
    csv: '/findings/wetness.csv',
  };
}

function besideTable(technicians: readonly TechnicianWetness[], formats: Formats): FigureTable {
  return {
    columns: [
      'Technician',
      'Drying beyond what the litres say',
      'Came back wet, smelling, ringed or wicked',
      'As often as the others’ would',
      'Change in time',
      'Measured jobs until it is settled',
    ],
    rows: technicians.map((one) => [
      one.name,
      factorText(one.drying, formats),
      ...comebackCells(one.comebacks, formats),
      changeText(one, formats),
      one.moreMeasuredJobs === null ? 'none needed' : `about ${formats.number(one.moreMeasuredJobs)} more`,
    ]),
    csv: '/findings/wetness.csv',
  };
}

/** What came back beside what would of the others', and how many times as often: nothing of the latter where no job tells. */
function comebackCells({ jobs, cases, expected, timesOthers }: PersonComebacks, formats: Formats): readonly string[] {
  if (jobs === 0) return ['no job tells yet', '–'];
  const seen = `${formats.number(cases)} of ${formats.number(jobs)} jobs`;
  return [`${seen}; of the others’ about ${formats.number(expected, 1)}`, factorText(timesOthers, formats)];
}

/** The level of a change is an average that a job more moves by a fifth. */
function latelyWords(technicians: readonly TechnicianWetness[]): string {
  const isTold = technicians.some(({ change }) => change && !change.fromTheFirst);
  return isTold ? ' Lately: over about the last nine measured jobs.' : '';
}

function changeText({ change }: TechnicianWetness, formats: Formats): string {
  if (change === null) return 'no sign';
  if (change.fromTheFirst) return 'none: so from the first measured job on';
  const level = factorText({ p50: change.levelNow, ...change.levelRange }, formats);
  return `since about ${formats.date(new Date(change.since))}; lately ${level} at equal dry passes`;
}
