/** What marks, judgements, pairs and section times cannot be, said in a sentence. */
import { expect, test } from 'vitest';
import { judgementFault, markFault, pairFault, sectionFault } from '../../../core/marking/rules.ts';
import type { MarkRow } from '../../../core/marking/words.ts';

const mark = (part: Partial<MarkRow>): MarkRow => ({
  hand: 'left',
  stroke: 1,
  event: 'propulsion_start',
  timeS: 1,
  clock: 'trace',
  camera: null,
  uS: null,
  sharedUS: null,
  ...part,
});

test('what cannot be kept is said in a sentence', () => {
  const cameras = new Set(['A']);
  expect(markFault([mark({}), mark({ event: 'propulsion_end' })], cameras)).toBeNull();
  expect(markFault([mark({}), mark({ timeS: 2 })], cameras)).toMatch(/two marks of propulsion start/);
  expect(markFault([mark({ camera: 'A' })], cameras)).toMatch(/on the trace and names camera A/);
  expect(markFault([mark({ clock: 'video' })], cameras)).toMatch(/names no camera/);
  expect(markFault([mark({ clock: 'video', camera: 'B' })], cameras)).toMatch(/no film of camera B/);
  const judged = {
    hand: 'left',
    stroke: 1,
    entryPosition: null,
    breath: null,
    exclusionReason: null,
  } as const;
  expect([judgementFault([judged]), judgementFault([judged, judged])]).toEqual([
    null,
    expect.stringMatching(/twice/),
  ]);
  const pair = { camera: 'A', traceS: 1, videoS: 1, what: '' };
  expect([pairFault([pair]), pairFault([pair, { ...pair, what: 'x' }])]).toEqual([
    null,
    expect.stringMatching(/twice/),
  ]);
  const section = { startS: 1, endS: 2, method: null, uS: null };
  expect([sectionFault(null), sectionFault(section), sectionFault({ ...section, endS: 1 })]).toEqual([
    null,
    null,
    expect.stringMatching(/before it starts/),
  ]);
});
