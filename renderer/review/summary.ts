/** What the trace shows, in sentences: for those who do not see it, and in place of what is not there. */
import { HANDS } from '../../core/base/hand.ts';
import type { TrialView } from '../../core/contract/views.ts';
import { formatMeasured, formatNumber, formatValue } from '../format.ts';
import { bridges } from './strokes.ts';

/** The plot in words. */
export function traceSentence(view: TrialView): string {
  const { result, section, trace } = view;
  const parts: string[] = [];
  if (trace !== null)
    parts.push(
      `Force of both hands against time, from ${formatValue(trace.startS, 's')} to ${formatValue(trace.startS + (trace.count - 1) / trace.rateHz, 's')}.`,
    );
  parts.push(
    section === null
      ? 'The measured section is not timed.'
      : `Measured section from ${formatValue(section.startS, 's')} to ${formatValue(section.endS, 's')}.`,
  );
  for (const hand of HANDS) {
    const { strokes, peakForce } = result.hands[hand];
    const peak = peakForce === null ? 'no peak force' : `mean peak force ${formatMeasured(peakForce, 'N')}`;
    parts.push(`The ${hand} hand has ${strokes} strokes that count, ${peak}.`);
    const gaps = trace?.gaps[hand].length ?? 0;
    if (gaps > 0) parts.push(`Its trace has ${gaps} long gap${gaps === 1 ? '' : 's'}.`);
  }
  const overs = bridges(result.strokes);
  const open = overs.filter((bridge) => bridge.kind === 'gap').length;
  if (overs.length > 0)
    parts.push(
      `Of ${formatNumber(overs.length, 0)} hand-overs ${open} leave a gap and ${overs.length - open} overlap.`,
    );
  return parts.join(' ');
}

/** Why the plot has no line, or lacks one; null where both hands have a force. */
export function forceSentence({ trace }: Pick<TrialView, 'trace'>): string | null {
  if (trace === null)
    return 'This trial has no readable trace, so no force is drawn. Marks and times work on the film’s clock.';
  const without = HANDS.filter((hand) => !trace.hasForce[hand]);
  if (without.length === 2) return 'Neither hand has a force; the flags below say why.';
  return without.length === 1 ? `The ${without[0]} hand has no force; the flags below say why.` : null;
}
