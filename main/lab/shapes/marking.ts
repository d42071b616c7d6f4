/** What people decided on a trial's marking. */
import { z } from 'zod';
import { pairRow, judgementRow, markRow, sectionWord } from '../../../core/marking/words.ts';
import { currentEvent } from '../../../core/stroke/stroke.ts';
import type { Shape } from './shape.ts';

const namedEvent = z.looseObject({ event: z.string() });

/** Two events had other names before version 2; before version 3 no mark had an uncertainty of its own, before 4 none was unsure. */
function renameEvents(value: unknown): unknown {
  if (!Array.isArray(value)) return value;
  return value.map((row: unknown) => {
    const named = namedEvent.safeParse(row);
    return named.success ? { ...named.data, event: currentEvent(named.data.event) } : row;
  });
}

export const MARKS_SHAPE: Shape<z.infer<typeof markRow>[]> = {
  what: 'marks of a trial',
  version: 4,
  schema: z.array(markRow),
  upgrade: renameEvents,
};

export const JUDGEMENTS_SHAPE: Shape<z.infer<typeof judgementRow>[]> = {
  what: 'judgements of a trial’s strokes',
  version: 1,
  schema: z.array(judgementRow),
};

export const PAIRS_SHAPE: Shape<z.infer<typeof pairRow>[]> = {
  what: 'moments on both clocks of a trial',
  version: 1,
  schema: z.array(pairRow),
};

/** Null inside says that there are none. */
const section = z.object({ section: sectionWord.nullable() });

export const SECTION_SHAPE: Shape<z.infer<typeof section>> = {
  what: 'section times of a trial',
  version: 1,
  schema: section,
};

/** The first programs that took a choice did not ask why. */
const reported = z.object({ rater: z.string().nullable(), reason: z.string().default('') });

export const REPORTED_SHAPE: Shape<z.infer<typeof reported>> = {
  what: 'words on whose marks are reported',
  version: 1,
  schema: reported,
};
