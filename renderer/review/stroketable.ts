/** The table of strokes: its columns, and each stroke's cells with the reason where one is empty. */
import { flagMeaning, type Flag } from '../../core/stroke/flags.ts';
import { type Measured, rootSumSquares } from '../../core/base/uncertainty.ts';
import { sharedUS } from '../../core/stroke/stroke.ts';
import { BASIS_WORDS, handOverBasis, mixedBasisSays } from '../../core/trial/basis.ts';
import type { StrokeResult, TrialResult } from '../../core/trial/result.ts';
import type { Unit } from '../format.ts';
import { toMs } from '../format.ts';
import { inOrder, strokeAnchorS } from './strokes.ts';

interface Cell {
  readonly key: string;
  readonly measured: Measured | null;
  readonly unit: Unit;
  readonly reason: string;
  /** What the number was read from, where the trial's strokes differ in it; null elsewhere. */
  readonly basis: string | null;
}

interface StrokeRow {
  readonly result: StrokeResult;
  /** False where none of its marks lies on the trial’s clock: the cursor cannot go there. */
  readonly placed: boolean;
  readonly words: {
    readonly name: string;
    readonly counts: string;
    readonly entry: string;
  };
  readonly numbers: readonly Cell[];
}

interface NumberColumn {
  readonly head: string;
  readonly unit: Unit;
  readonly of: (result: StrokeResult) => Measured | number | null;
  /** Flags that may tell why it is empty. */
  readonly why: readonly Flag[];
}

const FORCE_FLAGS: readonly Flag[] = [
  'no_trace',
  'one_channel',
  'no_calibration',
  'no_hand_area',
  'filter_unusable',
  'too_short_to_filter',
  'gap',
  'outside_trace',
  'no_sample',
  'no_propulsion',
];

/** The column whose number is drawn as a bar too. */
export const HIGH_HAND = 'High-hand time';

const INDEX = 'Index of coordination';

const NUMBERS: readonly NumberColumn[] = [
  { head: 'Gap or overlap', unit: 'ms', of: handOverMs, why: ['no_propulsion', 'no_cycle', 'no_partner'] },
  {
    head: INDEX,
    unit: '%',
    of: (one) => one.idcPct,
    why: ['no_propulsion', 'no_cycle', 'no_partner'],
  },
  { head: HIGH_HAND, unit: 'ms', of: (one) => toMs(one.highHand), why: ['no_high_hand'] },
  { head: 'Entry and catch', unit: '%', of: (one) => one.entryCatchPct, why: ['no_phases'] },
  { head: 'Pull', unit: '%', of: (one) => one.pullPct, why: ['no_phases'] },
  { head: 'Push', unit: '%', of: (one) => one.pushPct, why: ['no_phases'] },
  { head: 'Recovery', unit: '%', of: (one) => one.recoveryPct, why: ['no_phases'] },
  { head: 'Peak force', unit: 'N', of: (one) => one.peakForce, why: FORCE_FLAGS },
  { head: 'Mean force', unit: 'N', of: (one) => one.meanForce, why: FORCE_FLAGS },
  { head: 'Impulse', unit: 'N·s', of: (one) => one.impulse, why: FORCE_FLAGS },
];

function handOverMs({ handOver }: StrokeResult): Measured | null {
  if (handOver === null) return null;
  const { partnerEnd, start } = handOver;
  const u = rootSumSquares([partnerEnd.uS, start.uS, sharedUS(partnerEnd, start)]);
  return toMs({ value: partnerEnd.timeS - start.timeS, u });
}

export const STROKE_COLUMNS: readonly { readonly head: string; readonly number: boolean }[] = [
  ...['Stroke', 'Counts in the section', 'Entry'].map((head) => ({ head, number: false })),
  ...NUMBERS.map(({ head }) => ({ head, number: true })),
  { head: 'What to keep in mind', number: false },
];

/** What the index of coordination was read from, as the end of the table's caption. */
export function basisCaption({
  propulsionBasis,
  strokes,
}: Pick<TrialResult, 'propulsionBasis' | 'strokes'>): string {
  if (propulsionBasis === null) return '';
  const mixed = mixedBasisSays(strokes);
  return ` Index of coordination: ${BASIS_WORDS[propulsionBasis]}${mixed === null ? '' : `, ${mixed}`}.`;
}

const FROM = { force: 'from force', video: 'from film', mixed: 'from film to force' } as const;

/** What a hand-over was read from, in which order of its two marks. */
function fromWords({ handOver }: StrokeResult): string | null {
  if (handOver === null) return null;
  const basis = handOverBasis(handOver);
  return basis === 'mixed' && handOver.start.clock === 'video' ? 'from force to film' : FROM[basis];
}

/** The rows in order of time; strokes of which no mark lies on the trial’s clock come last. */
export function strokeRows(strokes: readonly StrokeResult[]): readonly StrokeRow[] {
  const ordered = inOrder(strokes).map(({ result }) => result);
  const differ = new Set(strokes.map(fromWords).filter((words) => words !== null)).size > 1;
  const unplaced = strokes.filter((result) => strokeAnchorS(result) === null);
  return [...ordered, ...unplaced].map((result) => ({
    result,
    placed: strokeAnchorS(result) !== null,
    words: {
      name: `${result.stroke.hand === 'left' ? 'Left' : 'Right'} ${result.stroke.number}`,
      counts: countsWords(result),
      entry: result.stroke.entryPosition ?? 'not judged',
    },
    numbers: NUMBERS.map(({ head, unit, of, why }) => {
      const value = of(result);
      const measured = typeof value === 'number' ? { value, u: null } : value;
      const basis = differ && head === INDEX && measured !== null ? fromWords(result) : null;
      return { key: head, measured, unit, reason: reasonAmong(result.flags, why), basis };
    }),
  }));
}

/** Whether a stroke counts for the trial, and where it lies where that is not plain from it. */
function countsWords({ counts, inSection, stroke }: StrokeResult): string {
  if (counts) return 'yes';
  const outside = 'not in the section';
  if (stroke.exclusionReason === null) return `no, ${outside}`;
  return `excluded: ${stroke.exclusionReason}${inSection ? '' : `, ${outside}`}`;
}

/** Why a value is empty: the meaning of the first flag that may tell. */
export function reasonAmong(flags: readonly Flag[], why: readonly Flag[]): string {
  const found = why.find((flag) => flags.includes(flag));
  return found === undefined ? 'It cannot be computed from what was marked.' : flagMeaning(found);
}
