/** The trial's numbers in groups, each with its unit, its uncertainty, and the reason where it is empty. */
import type { Flag } from '../../core/stroke/flags.ts';
import type { Measured } from '../../core/base/uncertainty.ts';
import type { PropulsionBasis, TrialResult } from '../../core/trial/result.ts';
import { leftOutSays } from '../../core/dataset/leftout.ts';
import { BASIS_WORDS, mixedBasisSays } from '../../core/trial/basis.ts';
import type { TrialView } from '../../core/contract/views.ts';
import {
  EMPTY,
  formatMeasured,
  formatNumber,
  formatSigned,
  formatValue,
  toMs,
  type Unit,
} from '../format.ts';
import { reasonAmong } from './stroketable.ts';

export interface NumberLine {
  readonly name: string;
  readonly text: string;
  /** Why it is empty; null where it is not. */
  readonly reason: string | null;
  /** What its uncertainty leaves out, by name; null where that is said of a number above, or there is none. */
  readonly leftOut: string | null;
}

export interface NumberGroup {
  readonly title: string;
  readonly lines: readonly NumberLine[];
}

const BASIS: Readonly<Record<PropulsionBasis, string>> = {
  force: 'marked on the force trace; propulsion read from force ends before the hand leaves the water',
  video: 'marked on the film',
  mixed: 'marked partly on the force trace, partly on the film: the two do not mean quite the same moment',
};

export const TIMING: readonly Flag[] = ['no_section', 'no_section_length'];
export const CYCLE: readonly Flag[] = ['unmarked', 'no_section', 'no_cycle'];
export const COORDINATION: readonly Flag[] = [...CYCLE, 'no_coordination'];
export const FORCE: readonly Flag[] = [
  'no_trace',
  'one_channel',
  'no_calibration',
  'no_hand_area',
  'unmarked',
  'no_force',
];

/** Every number of a trial. */
export function trialNumbers(view: TrialView): readonly NumberGroup[] {
  const { result } = view;
  const { flags, hands } = result;
  const line = (name: string, text: string, why: readonly Flag[]): NumberLine => ({
    name,
    text,
    reason: text === EMPTY ? reasonAmong(flags, why) : null,
    leftOut: null,
  });
  const saying = (numberLine: NumberLine, what: string): NumberLine => ({
    ...numberLine,
    leftOut: numberLine.text.includes('±') ? leftOutSays(what) : null,
  });
  const plain = (name: string, value: number | null, unit: Unit, why: readonly Flag[]) =>
    line(name, formatValue(value, unit), why);
  const measured = (name: string, value: Measured | null, unit: Unit, why: readonly Flag[]) =>
    line(name, formatMeasured(value, unit), why);
  const signed = (value: number | null, decimals: number, unit: Unit) =>
    value === null ? EMPTY : `${formatSigned(value, decimals)}\u00a0${unit}`;
  return [
    {
      title: 'Swimming',
      lines: [
        saying(measured('Velocity', result.velocity, 'm/s', TIMING), 'Velocity'),
        plain('Measured section', result.sectionM, 'm', ['no_section_length']),
        line('Time in the section', formatValue(result.sectionTimeS, 's', 3), ['no_section']),
        saying(measured('Stroke cycle time', result.cycleTime, 's', CYCLE), 'Stroke cycle time'),
        saying(measured('Stroke rate', result.strokeRate, 'cycles/min', CYCLE), 'Stroke rate'),
        saying(measured('Stroke length', result.strokeLength, 'm', [...TIMING, ...CYCLE]), 'Stroke length'),
      ],
    },
    {
      title: 'Coordination and shoulder',
      lines: [
        saying(line('Index of coordination', idcText(result), COORDINATION), 'Index of coordination'),
        plain('… into the left stroke', hands.left.idcPct, '%', COORDINATION),
        plain('… into the right stroke', hands.right.idcPct, '%', COORDINATION),
        line('Propulsion', result.propulsionBasis === null ? EMPTY : BASIS[result.propulsionBasis], [
          'unmarked',
        ]),
        line('Marks made by', raterText(view), ['unmarked']),
        saying(
          measured('High-hand time', toMs(result.highHand), 'ms', ['unmarked', 'no_section', 'no_high_hand']),
          'High-hand time',
        ),
        line('Entry against the shoulder', result.entryPosition ?? EMPTY, ['unmarked', 'no_section']),
      ],
    },
    {
      title: 'Hand force',
      lines: oncePerKind([
        measured('Peak, left', hands.left.peakForce, 'N', FORCE),
        measured('Peak, right', hands.right.peakForce, 'N', FORCE),
        measured('Mean, left', hands.left.meanForce, 'N', FORCE),
        measured('Mean, right', hands.right.meanForce, 'N', FORCE),
        measured('Impulse, left', hands.left.impulse, 'N·s', FORCE),
        measured('Impulse, right', hands.right.impulse, 'N·s', FORCE),
        saying(measured('Right against left', result.forceSymmetry, '%', FORCE), 'Right against left'),
      ]),
    },
    {
      title: 'Sensors and clocks',
      lines: [
        line('Zero shift, left', signed(hands.left.zeroShiftKpa, 3, 'kPa'), [
          'no_trace',
          'no_calibration',
          'no_zero_shift',
        ]),
        line('Zero shift, right', signed(hands.right.zeroShiftKpa, 3, 'kPa'), [
          'no_trace',
          'no_calibration',
          'no_zero_shift',
        ]),
        ...clockLines(view),
        line('Section timed by', view.timingMethod ?? EMPTY, ['no_section']),
      ],
    },
  ];
}

/** The index with what its propulsion was read from: one from force and one from film are not the same number. */
function idcText({ idc, propulsionBasis, strokes }: TrialResult): string {
  const text = formatMeasured(idc, '%');
  if (idc === null || propulsionBasis === null) return text;
  const mixed = mixedBasisSays(strokes);
  return `${text}, ${BASIS_WORDS[propulsionBasis]}${mixed === null ? '' : `, ${mixed}`}`;
}

/** The first force that has an uncertainty says for all of them what it leaves out. */
function oncePerKind(lines: readonly NumberLine[]): readonly NumberLine[] {
  const first = lines.find(({ text, leftOut }) => leftOut === null && text.includes('±'));
  return lines.map((one) =>
    one === first ? { ...one, leftOut: leftOutSays('Hand force and impulse') } : one,
  );
}

/** Who made the marks that are reported; where others marked too, that a person chose them, and why. */
function raterText({ result, marking, reportedWhy }: TrialView): string {
  if (result.rater === null) return EMPTY;
  const others = marking.raters.filter((rater) => rater !== marking.rater).length;
  if (reportedWhy === null)
    return others === 0 ? result.rater : `${result.rater}, the first to mark; ${others} more beside`;
  return `${result.rater}, chosen${reportedWhy === '' ? '' : `: ${reportedWhy}`}`;
}

function clockLines({ result, trace }: TrialView): readonly NumberLine[] {
  const { clock } = result;
  if (clock === null) {
    const reason =
      trace === null ? 'Camera A’s clock is the trial’s own.' : 'No moment was seen on both clocks.';
    return [{ name: 'Film against trace', text: EMPTY, reason, leftOut: null }];
  }
  const pairs = `${clock.pairs} moment${clock.pairs === 1 ? '' : 's'}`;
  return [
    {
      name: 'Film against trace',
      text: `${formatSigned(clock.offsetS, 4)}\u00a0s, rate ${formatNumber(clock.rate, 6)}, from ${pairs}`,
      reason: null,
      leftOut: null,
    },
    {
      name: 'Residual of that line',
      text: clock.residualS === null ? EMPTY : formatValue(1000 * clock.residualS, 'ms', 1),
      reason: clock.residualS === null ? 'Fewer than three moments leave no residual.' : null,
      leftOut: null,
    },
  ];
}
