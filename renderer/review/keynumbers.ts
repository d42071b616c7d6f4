/** The numbers that a trial is told by, under its title. */
import type { Flag } from '../../core/stroke/flags.ts';
import { HANDS } from '../../core/base/hand.ts';
import type { MarkingProgress } from '../../core/trial/progress.ts';
import type { TrialView } from '../../core/contract/views.ts';
import { counted, toMs } from '../format.ts';
import type { Measured } from '../../core/base/uncertainty.ts';
import type { Unit } from '../format.ts';
import { leftOutSays } from '../../core/dataset/leftout.ts';
import { FROM_WORDS } from '../../core/trial/basis.ts';
import { COORDINATION, CYCLE, FORCE, TIMING } from './trialnumbers.ts';
import { reasonAmong } from './stroketable.ts';

export interface KeyNumber {
  readonly name: string;
  readonly measured: Measured | null;
  readonly unit: Unit;
  /** Why it is empty. */
  readonly reason: string;
  /** What it was read from; empty for a number that is the same quantity whatever it is read from. */
  readonly from: string;
  /** What its ± leaves out, one sentence; null without a ±. */
  readonly leftOut: string | null;
}

/** Each with its unit and standard uncertainty, or why it is empty. */
export function keyNumbers({ result }: Pick<TrialView, 'result'>): readonly KeyNumber[] {
  const { flags, hands, propulsionBasis } = result;
  const one = (
    name: string,
    measured: Measured | null,
    unit: Unit,
    why: readonly Flag[],
    what = name,
  ): KeyNumber => ({
    name,
    measured,
    unit,
    reason: reasonAmong(flags, why),
    from: '',
    leftOut: measured === null || measured.u === null ? null : leftOutSays(what),
  });
  const from = result.idc === null || propulsionBasis === null ? '' : FROM_WORDS[propulsionBasis];
  return [
    one('Velocity', result.velocity, 'm/s', TIMING),
    one('Stroke rate', result.strokeRate, 'cycles/min', CYCLE),
    one('Stroke length', result.strokeLength, 'm', [...TIMING, ...CYCLE]),
    { ...one('Coordination', result.idc, '%', COORDINATION, 'Index of coordination'), from },
    one('High-hand time', toMs(result.highHand), 'ms', ['unmarked', 'no_section', 'no_high_hand']),
    one('Mean force, left', hands.left.meanForce, 'N', FORCE, 'Hand force and impulse'),
    one('Mean force, right', hands.right.meanForce, 'N', FORCE, 'Hand force and impulse'),
  ];
}

/** Strokes done of strokes expected, one line for each hand, such as `left 3 of about 5`. */
export function progressWords(progress: MarkingProgress): readonly string[] {
  return HANDS.map((hand) => {
    const { done, expected } = progress[hand];
    return `${hand} ${done}${expected === null ? '' : ` of about ${expected}`}`;
  });
}

/** How many marks their rater is unsure of, such as `2 marks unsure`; null where there is none. */
export function unsureWords(marks: TrialView['marking']['marks']): string | null {
  const unsure = marks.filter((mark) => mark.unsure === true).length;
  return unsure === 0 ? null : `${counted(unsure, 'mark')} unsure`;
}
