/** How the pages and sentences of a testing day write durations, sizes and the words of a run. */
import type { DeckRun } from './deck.ts';
import { figures } from './statistics.ts';
import type { ProtocolContent } from './protocolcontent.ts';
import type { CheckVerdict } from './trialcheck.ts';

export const NOT_GIVEN = 'not given';

/** A duration to the second, such as `3 min 05 s`. */
export function durationText(ms: number): string {
  const seconds = Math.round(ms / 1000);
  const rest = seconds % 60;
  const minutes = (seconds - rest) / 60;
  if (minutes === 0) return `${rest} s`;
  const below = `${String(minutes % 60).padStart(minutes < 60 ? 1 : 2, '0')} min ${String(rest).padStart(2, '0')} s`;
  return minutes < 60 ? below : `${(minutes - (minutes % 60)) / 60} h ${below}`;
}

/** A size in decimal units (SI: 1 kB = 1000 B) to three figures, such as `1.4 GB`. */
export function bytesText(bytes: number): string {
  const steps = ['B', 'kB', 'MB', 'GB', 'TB'] as const;
  // What would round up to 1000 of a unit is 1 of the next.
  const step = steps.findIndex((_, k) => k === steps.length - 1 || Number(figures(bytes / 1000 ** k)) < 1000);
  return `${figures(bytes / 1000 ** step)} ${steps[step]!}`;
}

/** `1 file`, `3 files`. */
export function countText(count: number, one: string, many = `${one}s`): string {
  return `${count} ${count === 1 ? one : many}`;
}

export const VERDICT_WORDS: Readonly<Record<CheckVerdict, string>> = {
  good: 'good',
  look: 'look',
  swim_again: 'swim again',
};

export const ANSWER_WORDS: Readonly<Record<NonNullable<DeckRun['answer']>['what'], string>> = {
  keep: 'kept',
  again: 'to be swum again',
  leave: 'left out',
};

const START_WORDS: Readonly<Record<ProtocolContent['start'], string>> = {
  push: 'push off the wall',
  dive: 'dive',
  in_water: 'in the water',
};

/** The swim that a protocol asks for, in one sentence. */
export function swimText(content: ProtocolContent): string {
  const { stroke, start, runM, sectionFromWallM, sectionPoints, attempts, conditions, restMinS } = content;
  const [from, to] = sectionFromWallM;
  const each = conditions.length > 1 ? ` in each of ${conditions.join(', ')}` : '';
  return `${stroke}, start: ${START_WORDS[start]}, ${runM} m; measured from ${from} m to ${to} m before the finishing wall (${sectionPoints.start} to ${sectionPoints.end}); ${countText(attempts, 'attempt')}${each}, at least ${durationText(1000 * restMinS)} of rest between.`;
}
