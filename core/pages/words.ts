/** How the pages and sentences of a testing day write durations, sizes and the words of a trial. */
import type { BoardTrial } from '../deck/deck.ts';
import type { ProtocolContent } from '../protocol/content.ts';
import { counted, durationText } from '../base/words.ts';

export const NOT_GIVEN = 'not given';

export const ANSWER_WORDS: Readonly<Record<NonNullable<BoardTrial['answer']>['what'], string>> = {
  keep: 'accepted',
  again: 'to be swum again',
  leave: 'excluded',
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
  return `${stroke}, start: ${START_WORDS[start]}, ${runM} m; measured from ${from} m to ${to} m before the finishing wall (${sectionPoints.start} to ${sectionPoints.end}); ${counted(attempts, 'attempt')}${each}, at least ${durationText(1000 * restMinS)} of rest between.`;
}
