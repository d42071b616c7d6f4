/** The rules that decide which calibration a trial uses, in words. */
import type { ChoicePreview } from '../../core/contract/bench.ts';
import type { CalibrationRule } from '../../core/sensor/choice.ts';
import { counted, formatSigned } from '../format.ts';

export const RULE_WORDS: Readonly<Record<CalibrationRule, { readonly name: string; readonly says: string }>> =
  {
    day: {
      name: 'The day’s own',
      says: 'The calibration that came in the day folder, whatever its verdict.',
    },
    latest: {
      name: 'Latest accepted before the trial',
      says: 'The last accepted calibration of the sensor, made before the trial was swum.',
    },
    interpolated: {
      name: 'Between before and after the day',
      says: 'Straight in time between the last accepted calibration before the day and the first after it.',
    },
  };

type Change = ChoicePreview['changes'][number];

/** Whether a rule gives, takes or changes a force. */
export function isChanged({ peakBeforeN, peakAfterN }: Change): boolean {
  return peakBeforeN !== peakAfterN;
}

/** Hands that have a force now and would have none. */
export function handsLeftWithout(changes: readonly Change[]): number {
  return changes.filter(({ peakBeforeN, peakAfterN }) => peakBeforeN !== null && peakAfterN === null).length;
}

/** What a rule would change, in one sentence. */
export function previewSentence(changes: readonly Change[]): string {
  const changed = changes.filter(isChanged);
  if (changed.length === 0) return 'No peak force would change.';
  const lost = handsLeftWithout(changes);
  const most = changed
    .filter(({ changePct }) => changePct !== null)
    .toSorted((a, b) => Math.abs(b.changePct!) - Math.abs(a.changePct!))[0];
  const parts = [`${counted(changed.length, 'peak force')} of ${changes.length} would change`];
  if (most !== undefined)
    parts.push(`the most by ${formatSigned(most.changePct!, 2)} % (${most.hand} hand, trial ${most.trial})`);
  if (lost > 0) parts.push(`${counted(lost, 'hand')} would have no force`);
  return `${parts.join('; ')}.`;
}
