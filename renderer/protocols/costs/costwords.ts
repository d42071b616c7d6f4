/** What the levels of a cost are called. */
import type { sectionCosts } from '../../../core/protocol/sectioncost.ts';
import { counted } from '../../format.ts';

export type Cost = ReturnType<typeof sectionCosts>[number];

export const LEVEL_WORDS: Readonly<Record<Cost['level'], { readonly sign: string; readonly word: string }>> =
  {
    fault: { sign: '✕', word: 'Fault' },
    caution: { sign: '!', word: 'Caution' },
    info: { sign: 'i', word: 'Note' },
  };

/** How much there is to think about, for beside the button; empty where there is nothing. */
export function costSummary(costs: readonly Cost[]): string {
  const count = (level: Cost['level']) => costs.filter((cost) => cost.level === level).length;
  const parts = [
    count('fault') > 0 ? counted(count('fault'), 'fault') : null,
    count('caution') > 0 ? counted(count('caution'), 'caution') : null,
  ];
  return parts.filter((part) => part !== null).join(', ');
}
