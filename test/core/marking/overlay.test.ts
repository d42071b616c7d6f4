/** Decisions on marking laid over a day, and what may be kept at all. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { assembleDay, type Daybook, type DayTexts } from '../../../core/day/book.ts';
import { readDay } from '../../../core/day/day.ts';
import { freeCode, overlayMarking, toCode, type MarkingOverlay } from '../../../core/marking/overlay.ts';
import { MADE_HERE } from '../../../core/marking/marking.ts';
import type { MarkRow } from '../../../core/marking/words.ts';
import { isCode } from '../../../core/base/table.ts';

const table = (file: string, text: string) => {
  const [header = '', ...rows] = text.split('\n');
  return {
    file,
    header: header.split(','),
    rows: rows.map((row, index) => ({ line: index + 2, cells: row.split(',') })),
    unclosed: [],
    decimalComma: false,
  };
};

const TEXTS: DayTexts = {
  roster: table('roster.csv', 'participant,consent\nP1,given'),
  trials: table('trials.csv', 'trial,participant,section_start_s,section_end_s\nT1,P1,1,6\nT2,P1,1,6'),
  sync: table('sync.csv', 'trial,camera,trace_s,video_s,what\nT1,A,2,1,lamp'),
  events: table(
    'events.csv',
    'trial,hand,stroke,event,time_s,clock,camera,rater\n' +
      'T1,left,1,propulsion_start,1,trace,,R1\nT1,left,1,propulsion_start,1.1,trace,,R2\n' +
      'T1,left,1,propulsion_end,1.5,trace,,R1',
  ),
  strokes: table('strokes.csv', 'trial,hand,stroke,breath,rater\nT1,left,1,left,R1'),
};

function book(): Daybook {
  const day = readDay('{ "format": "lanebench-day/1", "day": "d" }');
  if (!day.ok) throw new Error(day.error.reason);
  return assembleDay(day.value.day, TEXTS);
}

const NOTHING: MarkingOverlay = {
  marks: new Map(),
  judgements: new Map(),
  pairs: new Map(),
  sections: new Map(),
  reported: new Map(),
  opinions: new Map(),
};

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

const overlaid = (overlay: Partial<MarkingOverlay>) =>
  overlayMarking(book(), { ...NOTHING, ...overlay }).trials[0]!;

const raterOf = (rows: readonly { value: { rater: string | null } }[]) =>
  rows.map(({ value }) => value.rater);

describe('the overlay', () => {
  test('of nothing leaves the day as its folder gives it', () => {
    expect(overlayMarking(book(), NOTHING)).toEqual(book());
  });

  test('puts a rater’s marks in place of theirs; lines stay where the mark is known', () => {
    const marks = [mark({ timeS: 1.02 }), mark({ event: 'water_exit', timeS: 1.9 })];
    const { events } = overlaid({ marks: new Map([['T1', new Map([['R1', marks]])]]) });
    expect(events.map(({ line, value }) => [line, value.event, value.time_s, value.rater])).toEqual([
      [2, 'propulsion_start', 1.02, 'R1'],
      [MADE_HERE, 'water_exit', 1.9, 'R1'],
      [3, 'propulsion_start', 1.1, 'R2'],
    ]);
  });

  test('puts the rater first who is reported, and keeps the other', () => {
    const { events, judgements } = overlaid({ reported: new Map([['T1', 'R2']]) });
    expect(raterOf(events)).toEqual(['R2', 'R1', 'R1']);
    // R2 judged nothing: what R1 judged stays in force.
    expect(raterOf(judgements)).toEqual(['R1']);
  });

  test('adds second opinions behind, under a code of their own', () => {
    const opinion = (rater: string) => ({ rater, marks: [mark({})], judgements: [] });
    const { events } = overlaid({ opinions: new Map([['T1', [opinion('R3'), opinion('R1')]]]) });
    expect(raterOf(events)).toEqual(['R1', 'R2', 'R1', 'R3', 'R1-2']);
  });

  test('keeps the first rater’s marks the reported ones, also where they were made here, until a person decides', () => {
    const opinion = { rater: 'B', marks: [mark({ timeS: 1.4 })], judgements: [] };
    const empty = { ...book(), trials: book().trials.map((entry) => ({ ...entry, events: [] })) };
    const laid = (reported: MarkingOverlay['reported']) =>
      overlayMarking(empty, {
        ...NOTHING,
        marks: new Map([['T1', new Map([['A', [mark({})]]])]]),
        opinions: new Map([['T1', [opinion]]]),
        reported,
      }).trials[0]!;
    expect(raterOf(laid(new Map()).events)).toEqual(['A', 'B']);
    expect(raterOf(laid(new Map([['T1', 'B']])).events)).toEqual(['B', 'A']);
  });

  test('a mark that was not moved keeps the uncertainty its file gives it; one that was loses it', () => {
    const own = book();
    const [entry] = own.trials;
    const told = entry!.events.map((row) => ({ ...row, value: { ...row.value, time_u_s: 0.002 } }));
    const at = told[0]!.value.time_s;
    const laid = (timeS: number, uS: number | null = null) =>
      overlayMarking(
        { ...own, trials: [{ ...entry!, events: told }] },
        { ...NOTHING, marks: new Map([['T1', new Map([['R1', [mark({ timeS, uS })]]])]]) },
      ).trials[0]!.events[0]!.value.time_u_s;
    expect([laid(at), laid(at + 0.01), laid(at, 0.004)]).toEqual([0.002, null, 0.004]);
  });

  test('puts moments and section times in place of the file’s', () => {
    const section = { startS: 2, endS: 5, method: 'gate', uS: 0.01 } as const;
    const entry = overlaid({
      sections: new Map([['T1', section]]),
      pairs: new Map([['T1', [{ camera: 'B', traceS: 3, videoS: 1, what: 'tap' }]]]),
    });
    expect(entry.row).toMatchObject({
      section_start_s: 2,
      section_end_s: 5,
      timing_method: 'gate',
      timing_u_s: 0.01,
    });
    expect([...entry.pairs]).toEqual([['B', [{ traceS: 3, videoS: 1, what: 'tap' }]]]);
    expect(overlaid({ sections: new Map([['T1', null]]) }).row.section_start_s).toBeNull();
  });
});

test('a name becomes a code that a table takes', () => {
  expect(toCode('Änne K.', 'operator')).toBe('Anne-K.');
  expect(toCode('  泳 ', 'operator')).toBe('operator');
  fc.assert(fc.property(fc.string(), (name) => isCode(toCode(name, 'operator'))));
  expect(freeCode('a', new Set())).toBe('a');
  expect(freeCode('a', new Set(['a', 'a-2']))).toBe('a-3');
  const long = 'x'.repeat(64);
  expect(isCode(freeCode(long, new Set([long])))).toBe(true);
});
