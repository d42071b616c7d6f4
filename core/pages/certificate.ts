/**
 * The certificate of a calibration: a page of HTML that stands alone, to print or keep. Quantities are written as the
 * SI Brochure (9th ed., 5.4) has them: a space before the unit, the expanded uncertainty to two figures and the value
 * to the same digit (JCGM 100 7.2.6). It claims no accreditation, and says so.
 */
import { CALIBRATION_WORDS } from '../sensor/words.ts';
import type { KeptCalibration, SensorCard } from '../sensor/draft.ts';
import { escapeHtml, type Cell, table, estimateText } from './html.ts';
import { certificateConditions, METHOD_WORDS } from './certificateparts.ts';
import { figures, figuresOr, minus } from '../base/words.ts';
import type { CalibrationAssessment } from '../sensor/metrology.ts';
import type { BenchFinding } from '../sensor/limits.ts';

export interface CertificateSource {
  readonly record: KeptCalibration;
  /** The sensor as the register has it. */
  readonly card: SensorCard;
  /** The lab, as it names itself; null where it does not. */
  readonly lab: string | null;
  /** SHA-256 of the record as it lies in the lab folder. */
  readonly seal: string;
  /** Which of the recordings that its points were read from are no longer what they were, one sentence each. */
  readonly damaged: readonly string[];
}

/** The one style sheet of every certificate. Hosts allow it by its hash, so it must be in the page letter by letter. */
export const CERTIFICATE_STYLE = `
body { font: 14px/1.45 system-ui, sans-serif; color: #1f2a37; background: #fff; max-width: 46rem; margin: 2rem auto; padding: 0 1rem; }
h1 { font-size: 22px; margin: 0 0 4px; }
h2 { font-size: 16px; margin: 24px 0 8px; border-bottom: 1px solid #4b5563; }
table { border-collapse: collapse; width: 100%; font-variant-numeric: tabular-nums; }
th, td { text-align: left; vertical-align: top; padding: 3px 8px 3px 0; border-bottom: 1px solid #d1d5db; }
th[scope=row] { width: 36%; }
td.number, th.number { text-align: right; }
td.number { white-space: nowrap; }
.verdict { font-size: 18px; border: 2px solid #1f2a37; padding: 8px 12px; }
.aside td { color: #4b5563; font-style: italic; }
.hash { font: 12px/1.4 ui-monospace, monospace; overflow-wrap: anywhere; }
.note { color: #4b5563; }
@page { size: A4; margin: 18mm; }
@media print { body { max-width: none; margin: 0; padding: 0; font-size: 11px; } h2 { break-after: avoid; } tr { break-inside: avoid; } thead { display: table-header-group; } }
`;

const VERDICT_NOTES = {
  accepted: 'every limit is held.',
  remark: 'the limits on how the sensor reads are held; see the remarks below.',
  rejected: 'a limit is broken; the sensor is not to be used on this calibration.',
} as const;

/** The certificate as HTML; nothing in it is loaded from elsewhere. */
export function certificateHtml(source: CertificateSource): string {
  const { record, card, damaged } = source;
  const { assessment, verdict } = record;
  const title = `Calibration ${record.id} of sensor ${record.sensor}`;
  const parts = [
    `<h1>${escapeHtml(title)}</h1>`,
    `<p class="note">Record of an in-house calibration of a pressure sensor. It claims no accreditation and no traceability beyond that of the reference named below.</p>`,
    `<p class="verdict">${verdict === null ? 'Not judged.' : `${CALIBRATION_WORDS[verdict.verdict].says}: ${VERDICT_NOTES[verdict.verdict]}`}</p>`,
    ...damaged.map((says) => `<p class="verdict">Rests on damaged evidence: ${escapeHtml(says)}</p>`),
    section('Sensor and work', workTable(source)),
    section('Conditions and reference', certificateConditions(record.draft)),
    section('Results', assessment === null ? NO_LINE : resultTable(assessment, card.rawUnit)),
    section('Limits and findings', findingTable(record)),
    section('Data', dataTable(record, card.rawUnit)),
    section('Where it comes from', originTable(source)),
  ];
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width">
<title>${escapeHtml(title)}</title>
<style>${CERTIFICATE_STYLE}</style>
</head>
<body>
${parts.join('\n')}
</body>
</html>
`;
}

function section(title: string, body: string): string {
  return `<section><h2>${title}</h2>${body}</section>`;
}

const NO_LINE = '<p>No line could be laid through the points; there are no results.</p>';

function workTable({ record: { at, who, draft, ...record }, card, lab }: CertificateSource) {
  const raw = card.rawUnit ?? 'raw';
  const range = record.assessment?.rangeKpa ?? card.rangeKpa;
  const made =
    record.origin.kind === 'day'
      ? `${at.slice(0, 10)}, with day ${record.origin.day}`
      : draft.madeOn == null
        ? at
        : `${draft.madeOn}, kept in the register later`;
  const rows: Cell[][] = [
    ['Lab', lab ?? 'not named'],
    ['Sensor', record.sensor],
    ['Maker', card.maker ?? 'not given'],
    ['Serial number', card.serial ?? 'not given'],
    ['Usual hand', card.hand ?? 'not given'],
    ['Range', range === null ? 'not given' : `${figures(range, 6)} kPa`],
    ['Raw limits', `${figuresOr(card.rawMin, 'none')} to ${figuresOr(card.rawMax, 'none')} ${raw}`],
    ['Method', METHOD_WORDS[draft.method]],
    ['Made', made],
    ['Next calibration due', card.dueOn ?? 'not given'],
    [record.origin.kind === 'day' ? 'Brought into the register by' : 'By', who],
    ['Program', `Lanebench ${record.version}`],
  ];
  if (draft.notes !== '') rows.push(['Notes', draft.notes]);
  return table(null, rows);
}

function resultTable(assessment: CalibrationAssessment, rawUnit: string | null): string {
  const raw = rawUnit ?? 'raw';
  const { residualSd, correlation, probability } = assessment;
  const percent = (value: number | null) => (value === null ? 'not determined' : `${figures(value)} %`);
  const rows: Cell[][] = [
    ['Sensitivity', estimateText(assessment.sensitivity, `${raw}/kPa`)],
    ['Zero (at no pressure)', estimateText(assessment.zero, raw)],
    ['Correlation of the two', correlation === null ? 'not determined' : minus(figures(correlation))],
    [
      'Residual standard deviation',
      residualSd === null
        ? 'not determined'
        : `${figures(residualSd.kpa)} kPa on ${residualSd.degreesOfFreedom} degrees of freedom`,
    ],
    ['Non-linearity, independent', percent(assessment.nonlinearityPctFs)],
    ['Non-linearity, terminal-based', percent(assessment.terminalNonlinearityPctFs)],
    ['Hysteresis', percent(assessment.hysteresisPctFs)],
    ['Repeatability', percent(assessment.repeatabilityPctFs)],
    ['Points that take part', `${assessment.pointCount} at ${assessment.pressureCount} pressures`],
  ];
  return (
    table(null, rows) +
    `<p class="note">Line raw = zero + sensitivity × pressure by least squares. Uncertainties are expanded, ${figures(100 * probability)} % coverage (JCGM 100), with the factor k from Student’s t; the reference’s own uncertainty is carried through. Percentages are of the output at full scale, defined as in ANSI/ISA-51.1 and IEC 61298-2.</p>`
  );
}

const HELD_WORDS = { yes: 'held', no: 'not held', not_judged: 'not judged' } as const;

function findingTable({ verdict, faults }: KeptCalibration): string {
  const row = ({ says, todo, held, bound, unit }: BenchFinding): Cell[] => [
    says,
    bound === null ? '' : `${figures(bound)} ${unit}`,
    HELD_WORDS[held],
    todo ?? '',
  ];
  const findings = table(['Finding', 'Limit', 'Held?', 'What to do'], (verdict?.findings ?? []).map(row));
  if (faults.length === 0) return findings;
  return (
    findings +
    table(
      ['Remark on what was entered', 'What to do'],
      faults.map(({ says, todo }) => [says, todo]),
    )
  );
}

const UNIT_WORDS: Readonly<Record<string, string>> = { m_water: 'm of water' };

function dataTable({ draft, assessment }: KeptCalibration, rawUnit: string | null): string {
  const head: Cell[] = [
    { number: 'No.' },
    { number: 'Run' },
    'Direction',
    { number: 'Applied' },
    { number: 'Pressure' },
    { number: `Raw (${rawUnit ?? 'raw'})` },
    { number: 'Residual' },
    'Taken from, or why set aside',
  ];
  // Where every point has a pressure the assessed points are the entered ones in the same order.
  const assessed = assessment?.points.length === draft.points.length ? assessment.points : null;
  const rows = draft.points.map((point, index): Cell[] => {
    const fitted = assessed?.[index];
    const { source } = point;
    const from =
      source.kind === 'typed'
        ? 'typed'
        : `${source.file}, ${figures(source.startS, 6)} s to ${figures(source.endS, 6)} s, mean of ${source.count}${source.sdRaw === null ? '' : `, SD ${figures(source.sdRaw)}`}`;
    return [
      { number: String(index + 1) },
      { number: String(point.run) },
      point.direction ?? '',
      { number: minus(`${point.applied} ${UNIT_WORDS[point.appliedUnit] ?? point.appliedUnit}`) },
      { number: fitted === undefined ? '' : minus(`${fitted.appliedKpa.toFixed(4)} kPa`) },
      { number: minus(figures(point.raw, 10)) },
      { number: fitted === undefined ? '' : minus(`${fitted.residualKpa.toFixed(4)} kPa`) },
      point.setAside === null ? from : `Set aside: ${point.setAside} (${from})`,
    ];
  });
  return table(head, rows, (index) => draft.points[index]!.setAside !== null);
}

function originTable({ record, seal }: CertificateSource): string {
  const traces = new Map(
    record.draft.points.flatMap(({ source }) =>
      source.kind === 'trace' ? [[source.sha256, source.file] as const] : [],
    ),
  );
  const rows: Cell[][] = [['This record in the lab folder', { hash: seal }]];
  if (record.origin.kind === 'day')
    rows.push([`calibration.csv of day ${record.origin.day}`, { hash: record.origin.sha256 }]);
  for (const [sha256, file] of traces) rows.push([`Recording ${file}`, { hash: sha256 }]);
  return table(['Input', 'SHA-256'], rows);
}
