/** What the curves show, in words, and which of them have a table. */
import { HANDS, type Hand } from '../../../core/base/hand.ts';
import { eventWords } from '../../../core/stroke/stroke.ts';
import type { MeanCurve } from '../../../core/stroke/curve.ts';
import type { TrialView } from '../../../core/contract/views.ts';
import { formatMeasured, toMs } from '../../format.ts';
import type { CurvesDesk } from './curvesdesk.svelte.ts';
import { cyclesSentence, type Cycles } from './cycles.ts';

const NAMES: Readonly<Record<Hand, string>> = { left: 'Left hand', right: 'Right hand' };

/** What a figure is called, in its picture and its file. */
export function curvesTitle(curves: CurvesDesk, view: Pick<TrialView, 'day' | 'trial'>): string {
  const { what, hand, names } = curves;
  if (what === 'mean') return `${view.day} ${view.trial} mean force over the cycle`;
  if (what === 'each') return `${view.day} ${view.trial} force of every stroke`;
  return `${view.day} ${names.join(' and ')} ${hand} hand`;
}

/** The curves in sentences. */
export function summaryOf(curves: CurvesDesk): readonly string[] {
  const warning = curves.basisSays;
  return [...(warning === null ? [] : [warning]), ...sentencesOf(curves)];
}

function sentencesOf(curves: CurvesDesk): readonly string[] {
  if (curves.what !== 'beside') return HANDS.map((hand) => cyclesSentence(hand, curves.both[hand]));
  if (curves.other.value === null) return ['Choose a trial of this day to lay beside this one.'];
  const { hand, names, overlay, otherCycles } = curves;
  const says = [`${names[0]}. ${cyclesSentence(hand, curves.both[hand])}`];
  if (otherCycles !== null) says.push(`${names[1]}. ${cyclesSentence(hand, otherCycles)}`);
  says.push(
    overlay === null
      ? `They cannot be laid over one another in time: ${eventWords(curves.alignedAt)} of one of the strokes is not marked, or a force is missing. Choose another event or stroke.`
      : `Laid over one another at ${eventWords(overlay.event)}: the times of ${names[1]} are shifted by ${formatMeasured(toMs(overlay.shift), 'ms')}.`,
  );
  return says;
}

/** The columns of the table beside the curves. */
export function curveColumns(
  curves: CurvesDesk,
): readonly { readonly name: string; readonly mean: MeanCurve }[] {
  const { both, hand, names, otherCycles } = curves;
  const listed: readonly (readonly [string, MeanCurve | null])[] =
    curves.what === 'beside'
      ? [
          [names[0], both[hand].mean],
          [names[1], otherCycles?.mean ?? null],
        ]
      : HANDS.map((each) => [NAMES[each], both[each].mean] as const);
  return listed.flatMap(([name, mean]) => (mean === null ? [] : [{ name, mean }]));
}

/** Why strokes have no curve. */
export function leftOutSentences(hand: Hand, cycles: Cycles): readonly string[] {
  return cycles.leftOut.map(({ stroke, reason }) => `${NAMES[hand]}, stroke ${stroke}: ${reason}`);
}
