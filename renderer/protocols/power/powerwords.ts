/** The power of a planned comparison in words. */
import { powerOf, swimmersFor } from '../../../core/protocol/power.ts';
import type { PlannedComparison } from '../../../core/protocol/content.ts';
import { counted, formatNumber } from '../../format.ts';

/** Powers that studies are commonly planned for (common practice, no source). */
export const WANTED = [0.8, 0.9] as const;

/** Two figures below 0.995; what is nearer to 1 is not written as 1. */
export function powerText(power: number): string {
  return power > 0.995 ? 'above 0.99' : formatNumber(power, 2);
}

/** How many swimmers a size of the comparison stands for. */
export function sizeWords({ kind }: PlannedComparison, size: number): string {
  return kind === 'paired'
    ? `${counted(size, 'swimmer')}, each measured twice`
    : `${counted(size, 'swimmer')} per group`;
}

function groupWords(comparison: PlannedComparison): string {
  const { kind, first, second } = comparison;
  if (kind === 'paired' || first === second) return sizeWords(comparison, first);
  return `groups of ${first} and ${counted(second, 'swimmer')}`;
}

/** What the planned number of swimmers can be expected to find, or why that is not computed. */
export function powerSentence(comparison: PlannedComparison): string {
  const power = powerOf(comparison);
  if (!power.ok) return `${power.error.says} ${power.error.todo}`;
  const of100 = Math.round(100 * power.value.power);
  const found = of100 >= 100 ? 'practically all' : of100 <= 0 ? 'practically none' : `about ${of100}`;
  const { difference, quantity, alpha, sides } = comparison;
  const what = quantity.trim() === '' ? '' : ` (${quantity.trim()})`;
  return `With ${groupWords(comparison)} the power is ${powerText(power.value.power)}: if the difference is ${difference}${what}, ${found} of 100 such studies would find it, ${sides}-sided at alpha ${alpha}.`;
}

/** How many swimmers a wanted power takes, or why none are enough. */
export function wantedSentence(comparison: PlannedComparison, wanted: number): string {
  const needed = swimmersFor(comparison, wanted);
  if (!needed.ok) return `Power ${wanted}: ${needed.error.says} ${needed.error.todo}`;
  return `Power ${wanted} takes ${sizeWords(comparison, needed.value.swimmers)}.`;
}
