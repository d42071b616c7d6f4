/** One figure per question, with the data it is drawn from. */
import { guardText, printCell, type Cell } from '../../base/csv.ts';
import { designOf, type Answered } from '../ask.ts';
import type { Finding, Results } from '../compare.ts';
import { distributionData, distributionFigure, distributionOf } from './distribution.ts';
import { groupsFigure, pairsFigure, repeatsFigure } from './groups.ts';
import { countsFigure, scatterFigure } from './others.ts';

export interface Figure {
  readonly question: string;
  /** Name of both files, without their endings. */
  readonly name: string;
  readonly svg: string;
  readonly csv: string;
}

/** A column with its unit, as axes and sentences write it. */
export type Labelled = (column: string) => string;

/** What a question asks, in the names of its columns. */
export function headingOf({ question, by }: Answered, labelled: Labelled): string {
  const outcome = question.outcome === undefined ? 'Swimmers' : labelled(question.outcome);
  const on = question.on === undefined ? '' : ` on ${labelled(question.on)}`;
  return `${outcome}${by.length === 0 ? '' : ` by ${by.join(' and ')}`}${on}`;
}

/** Each question’s figure in the order of the plan: a picture, and the values that it shows as a table. */
export function figuresOf({ findings }: Results, labelled: Labelled): readonly Figure[] {
  return findings.map((finding, index) => {
    const { id } = finding.answered.question;
    const name = `${String(index + 1).padStart(2, '0')}-${id.replaceAll(/[^A-Za-z0-9_-]+/g, '-').slice(0, 40)}`;
    return { question: id, name, svg: draw(finding, labelled), csv: dataOf(finding) };
  });
}

/** How the values of each question are spread, for those that have values that differ. */
export function distributionsOf(results: Results, labelled: Labelled): readonly Figure[] {
  const names = figuresOf(results, labelled).map(({ name }) => name);
  return results.findings.flatMap((finding, index): readonly Figure[] => {
    const { question } = finding.answered;
    const bins = designOf(question.test) === 'counts' ? null : distributionOf(finding);
    if (bins === null) return [];
    const design = designOf(question.test);
    const what = design === 'trials' || design === 'repeats' ? 'trials' : 'swimmers';
    const title = `How the values are spread: ${question.words ?? headingOf(finding.answered, labelled)}`;
    const svg = distributionFigure(bins, title, labelled(question.outcome ?? ''), what);
    return [
      { question: question.id, name: `${names[index]!}-distribution`, svg, csv: distributionData(bins) },
    ];
  });
}

function draw(finding: Finding, labelled: Labelled): string {
  const { question } = finding.answered;
  const axis = labelled(question.outcome ?? '');
  const title = question.words ?? headingOf(finding.answered, labelled);
  switch (designOf(question.test)) {
    case 'pairs':
      return pairsFigure(finding, title, axis);
    case 'counts':
      return countsFigure(finding, title);
    case 'line':
      return scatterFigure(finding, title, axis, labelled(question.on!));
    case 'repeats':
      return repeatsFigure(finding, title, axis);
    default:
      return groupsFigure(finding, title, axis);
  }
}

/** The points of a figure, one row each. */
function dataOf({ answered }: Finding): string {
  const head = ['participant', 'day', 'trial', 'group', 'group_2', 'value', 'on'];
  const rows = answered.compared.units.map((unit): readonly Cell[] => [
    unit.participant,
    unit.day,
    unit.trial,
    unit.group ?? '',
    unit.group2 ?? '',
    unit.value,
    unit.on,
  ]);
  return [
    head,
    ...rows.map((row) => row.map((cell) => printCell(typeof cell === 'string' ? guardText(cell) : cell))),
  ]
    .map((cells) => `${cells.join(',')}\n`)
    .join('');
}
