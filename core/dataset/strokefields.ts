/** The columns of strokes.csv of a dataset. Contract: formats.md section 3. */
import { fields, type FieldTuple } from './field.ts';
import type { TrialEntry } from '../day/book.ts';
import type { StrokeResult } from '../trial/result.ts';
import { EVENTS, eventWords } from '../stroke/stroke.ts';

/** A stroke of a trial. */
export interface StrokeRow {
  readonly entry: TrialEntry;
  readonly stroke: StrokeResult;
}

export const strokes = fields<StrokeRow>(
  ['trial', 'string', '', 'Code of the trial', ({ entry }) => entry.row.trial],
  ['participant', 'string', '', 'Code of the swimmer', ({ entry }) => entry.row.participant],
  ['hand', 'string', '', 'left or right', ({ stroke }) => stroke.stroke.hand],
  ['stroke', 'integer', '', 'Number of the stroke, from 1 per hand', ({ stroke }) => stroke.stroke.number],
  [
    'in_section',
    'boolean',
    '',
    'Propulsion start and end both lie in the measured section',
    ({ stroke }) => stroke.inSection,
  ],
  [
    'entry_position',
    'string',
    '',
    'Hand against the shoulder at full reach: above, level, below or undecided',
    ({ stroke }) => stroke.stroke.entryPosition,
  ],
  [
    'entry_height_cm',
    'number',
    'cm',
    'Hand above the shoulder at full reach, as measured on film',
    ({ stroke }) => stroke.stroke.entryHeightCm?.value ?? null,
  ],
  [
    'entry_height_cm_u',
    'number',
    'cm',
    'Standard uncertainty of the entry height',
    ({ stroke }) => stroke.stroke.entryHeightCm?.u ?? null,
  ],
  [
    'breath',
    'string',
    '',
    'Side of a breath during the stroke: none, left or right',
    ({ stroke }) => stroke.stroke.breath,
  ],
  [
    'exclusion_reason',
    'string',
    '',
    'Why the stroke was left out',
    ({ stroke }) => stroke.stroke.exclusionReason,
  ],
  ...EVENTS.map((event): FieldTuple<StrokeRow> => [
    `${event}_s`,
    'number',
    's',
    `Time of ${eventWords(event)}, on the trial’s clock`,
    ({ stroke }) => stroke.stroke.marks[event]?.timeS ?? null,
  ]),
  [
    'idc_pct',
    'number',
    '%',
    'Index of coordination of the hand-over into this stroke',
    ({ stroke }) => stroke.idcPct,
  ],
  [
    'high_hand_s',
    'number',
    's',
    'High-hand time; 0 where the hand enters below the shoulder',
    ({ stroke }) => stroke.highHand?.value ?? null,
  ],
  [
    'high_hand_s_u',
    'number',
    's',
    'Standard uncertainty of the high-hand time',
    ({ stroke }) => stroke.highHand?.u ?? null,
  ],
  [
    'entry_catch_pct',
    'number',
    '%',
    'Entry and catch, share of the arm’s cycle',
    ({ stroke }) => stroke.entryCatchPct,
  ],
  ['pull_pct', 'number', '%', 'Pull, share of the arm’s cycle', ({ stroke }) => stroke.pullPct],
  ['push_pct', 'number', '%', 'Push, share of the arm’s cycle', ({ stroke }) => stroke.pushPct],
  ['recovery_pct', 'number', '%', 'Recovery, share of the arm’s cycle', ({ stroke }) => stroke.recoveryPct],
  [
    'peak_force_n',
    'number',
    'N',
    'Largest hand force during propulsion',
    ({ stroke }) => stroke.peakForce?.value ?? null,
  ],
  [
    'peak_force_n_u',
    'number',
    'N',
    'Standard uncertainty of the peak force',
    ({ stroke }) => stroke.peakForce?.u ?? null,
  ],
  [
    'mean_force_n',
    'number',
    'N',
    'Impulse over duration of propulsion',
    ({ stroke }) => stroke.meanForce?.value ?? null,
  ],
  [
    'mean_force_n_u',
    'number',
    'N',
    'Standard uncertainty of the mean force',
    ({ stroke }) => stroke.meanForce?.u ?? null,
  ],
  [
    'impulse_ns',
    'number',
    'N·s',
    'Hand force integrated over propulsion',
    ({ stroke }) => stroke.impulse?.value ?? null,
  ],
  [
    'impulse_ns_u',
    'number',
    'N·s',
    'Standard uncertainty of the impulse',
    ({ stroke }) => stroke.impulse?.u ?? null,
  ],
  ['flags', 'string', '', 'Reasons and cautions, separated by ;', ({ stroke }) => stroke.flags.join(';')],
);
