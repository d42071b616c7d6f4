/** In which shape each thing is written today, for the store to note beside it: 1 where nothing else is said. */
import { BOARD_SHAPE } from './deck.ts';
import { MARKS_SHAPE } from './marking.ts';
import { PROTOCOL_SHAPE } from './protocol.ts';

const WRITTEN: Readonly<Record<string, number>> = {
  board: BOARD_SHAPE.version,
  marks: MARKS_SHAPE.version,
  'blind.marks': MARKS_SHAPE.version,
  protocol: PROTOCOL_SHAPE.version,
};

/** @param subject of a decision, or the kind of a thing that is kept */
export function shapeVersion(subject: string): number {
  return WRITTEN[subject] ?? 1;
}
