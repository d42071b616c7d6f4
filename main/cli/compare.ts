/** `lanebench compare`: answers a plan and tells the person what came of it. */
import type { TestRow } from '../../core/findings/compare.ts';
import { figures, minus } from '../../core/base/words.ts';
import { makeComparison, type CompareOrder } from '../lab/findings/compare.ts';
import { alignColumns, COMPLETE, NOTHING, PARTLY, USAGE, type Terminal } from './terminal.ts';

export async function runCompare(order: CompareOrder, terminal: Terminal): Promise<number> {
  const outcome = await makeComparison(order, (says) => terminal.progress?.(says));
  terminal.progress?.('');
  if (outcome.kind !== 'written') {
    terminal.error(outcome.says);
    if (outcome.kind === 'misplaced') return USAGE;
    for (const { reason } of outcome.refused) terminal.error(`  ${reason}`);
    return NOTHING;
  }
  const { findings, refused } = outcome.results;
  const head = ['question', 'test', 'term', 'n', 'p', 'p adjusted', 'effect', 'value'];
  const rows = findings.flatMap((finding) => finding.rows.map(toRow));
  terminal.print(
    alignColumns(
      [head, ...rows],
      head.map((_, column) => column > 2 && column !== 6),
    ),
  );
  terminal.print(`\n${findings.length} answered, written to ${order.out}`);
  for (const { reason } of refused) terminal.print(`Not answered: ${reason}`);
  return refused.length > 0 ? PARTLY : COMPLETE;
}

function toRow({ answered, term, n, pAdjusted }: TestRow): string[] {
  const number = (value: number | null | undefined) => (value == null ? '—' : minus(figures(value)));
  const [name, value] =
    term.effect === null ? ['estimate', term.estimate] : [term.effect.name, term.effect.value];
  return [
    answered.question.id,
    answered.question.test,
    term.term,
    String(n),
    number(term.p),
    number(pAdjusted),
    name,
    number(value),
  ];
}
