/** What marks, judgements, moments and section times must be before they are kept, beside the order rules. */
import type { MarkRow, JudgementRow, PairRow, SectionWord } from './words.ts';
import { eventWords } from '../stroke/stroke.ts';

/** Why marks cannot be kept, as a sentence; null where they can. `cameras` are those that film the trial. */
export function markFault(marks: readonly MarkRow[], cameras: ReadonlySet<string>): string | null {
  const seen = new Set<string>();
  for (const { hand, stroke, event, clock, camera } of marks) {
    const what = `${eventWords(event)} of the ${hand} hand’s stroke ${stroke}`;
    const key = `${hand} ${stroke} ${event}`;
    if (seen.has(key)) return `There are two marks of ${what}; a stroke has one of each.`;
    seen.add(key);
    if (clock === 'trace' && camera !== null)
      return `The mark of ${what} is on the trace and names camera ${camera}.`;
    if (clock === 'video' && camera === null) return `The mark of ${what} is on film and names no camera.`;
    if (camera !== null && !cameras.has(camera)) return `This trial has no film of camera ${camera}.`;
  }
  return null;
}

/** Why judgements cannot be kept, as a sentence; null where they can. */
export function judgementFault(judgements: readonly JudgementRow[]): string | null {
  const twice = firstTwice(judgements.map(({ hand, stroke }) => `${hand} hand’s stroke ${stroke}`));
  return twice === null ? null : `The ${twice} is judged twice; one word on it is enough.`;
}

/** Why moments on both clocks cannot be kept, as a sentence; null where they can. */
export function pairFault(pairs: readonly PairRow[]): string | null {
  const twice = firstTwice(
    pairs.map(
      ({ camera, traceS, videoS }) => `camera ${camera} at ${traceS} s on the trace and ${videoS} s on film`,
    ),
  );
  return twice === null ? null : `The moment of ${twice} is there twice.`;
}

/** Why section times cannot be kept, as a sentence; null where they can. */
export function sectionFault(section: SectionWord | null): string | null {
  if (section === null || section.endS > section.startS) return null;
  return `The section would end (${section.endS.toFixed(4)} s) before it starts (${section.startS.toFixed(4)} s).`;
}

function firstTwice(names: readonly string[]): string | null {
  return names.find((name, index) => names.indexOf(name) !== index) ?? null;
}
