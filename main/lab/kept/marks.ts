/** Marks, judgements, clock pairs and section times of a trial, as a screen edits them. */
import { MAIN_CAMERA } from '../../../core/clock/clock.ts';
import type { TrialEntry } from '../../../core/day/book.ts';
import { reportedRows } from '../../../core/marking/marking.ts';
import type { TrialMarking } from '../../../core/marking/words.ts';

/** What a trial's numbers come from, as it stands. */
export function markingOf(entry: TrialEntry): TrialMarking {
  const { section_start_s: startS, section_end_s: endS, timing_method: method, timing_u_s: uS } = entry.row;
  return {
    rater: entry.events[0]?.value.rater ?? null,
    marks: reportedRows(entry.events).map(({ value }) => ({
      hand: value.hand,
      stroke: value.stroke,
      event: value.event,
      timeS: value.time_s,
      clock: value.clock,
      camera: value.clock === 'video' ? (value.camera ?? MAIN_CAMERA) : null,
      uS: value.time_u_s,
      sharedUS: value.time_u_shared_s,
      ...(value.unsure === 'yes' ? { unsure: true as const } : {}),
    })),
    judgements: reportedRows(entry.judgements).map(({ value }) => ({
      hand: value.hand,
      stroke: value.stroke,
      entryPosition: value.entry_position,
      breath: value.breath,
      exclusionReason: value.exclusion_reason || null,
    })),
    pairs: [...entry.pairs].flatMap(([camera, pairs]) => pairs.map((pair) => ({ camera, ...pair }))),
    section: startS === null || endS === null ? null : { startS, endS, method, uS },
    raters: [...new Set(entry.events.map(({ value }) => value.rater))],
  };
}
