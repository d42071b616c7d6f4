/** The numbers of a trial that the day's list shows: name, unit, value, and why it is empty where it is. */
import type { Hand } from '../../core/base/hand.ts';
import { flagMeaning, type Flag } from '../../core/stroke/flags.ts';
import type { Measured } from '../../core/base/uncertainty.ts';
import type { TrialResult } from '../../core/trial/result.ts';
import { leftOutSays } from '../../core/dataset/leftout.ts';
import type { Unit } from '../format.ts';
import { toMs } from '../format.ts';

type Result = Omit<TrialResult, 'strokes'>;

export interface QuantityColumn {
  readonly name: string;
  readonly unit: Unit;
  readonly of: (result: Result) => Measured | null;
  /** Flags that can leave it empty, the first that is set being the reason. */
  readonly emptyBy: readonly Flag[];
  /** The hand whose area it is computed with; left out where none is. */
  readonly areaOf?: Hand;
  /** Under which name it is said what its uncertainty leaves out. */
  readonly leftOut: string;
}

const NO_CYCLE: readonly Flag[] = ['unmarked', 'no_section', 'no_cycle'];
const NO_FORCE: readonly Flag[] = [
  'no_trace',
  'one_channel',
  'no_calibration',
  'no_hand_area',
  'filter_unusable',
  'too_short_to_filter',
  'unmarked',
  'gap',
  'no_force',
];

export const QUANTITY_COLUMNS: readonly QuantityColumn[] = [
  {
    name: 'Velocity',
    leftOut: 'Velocity',
    unit: 'm/s',
    of: (result) => result.velocity,
    emptyBy: ['no_section', 'no_section_length'],
  },
  {
    name: 'Stroke rate',
    leftOut: 'Stroke rate',
    unit: 'cycles/min',
    of: (result) => result.strokeRate,
    emptyBy: NO_CYCLE,
  },
  {
    name: 'Stroke length',
    leftOut: 'Stroke length',
    unit: 'm',
    of: (result) => result.strokeLength,
    emptyBy: ['no_section_length', ...NO_CYCLE],
  },
  {
    name: 'Index of coordination',
    leftOut: 'Index of coordination',
    unit: '%',
    of: (result) => result.idc,
    emptyBy: [...NO_CYCLE, 'no_coordination'],
  },
  {
    name: 'High-hand time',
    leftOut: 'High-hand time',
    unit: 'ms',
    of: (result) => toMs(result.highHand),
    emptyBy: ['unmarked', 'no_section', 'no_high_hand'],
  },
  {
    name: 'Peak force left',
    leftOut: 'Hand force and impulse',
    unit: 'N',
    of: (result) => result.hands.left.peakForce,
    emptyBy: NO_FORCE,
    areaOf: 'left',
  },
  {
    name: 'Peak force right',
    leftOut: 'Hand force and impulse',
    unit: 'N',
    of: (result) => result.hands.right.peakForce,
    emptyBy: NO_FORCE,
    areaOf: 'right',
  },
];

/** Why a quantity of a trial is empty, as a sentence. */
export function emptyReason(column: QuantityColumn, flags: readonly Flag[]): string {
  const flag = column.emptyBy.find((each) => flags.includes(each));
  return flag === undefined ? 'No stroke that counts gives it.' : flagMeaning(flag);
}

/** What the ± of the columns leave out, by name: a sentence for each kind of number. */
export const LEFT_OUT_LINES: readonly { readonly name: string; readonly says: string }[] = [
  ...Map.groupBy(QUANTITY_COLUMNS, ({ leftOut }) => leftOut),
].map(([leftOut, [first]]) => ({
  name: leftOut === first!.name ? leftOut : 'Peak force',
  says: leftOutSays(leftOut),
}));
