/** Section times from a table with headings nobody prescribed; which words mean what is common practice, no source. */
import { describe, expect, test } from 'vitest';
import type { SectionMatch } from '../../../core/lists/sections.ts';
import { matchSections, type SectionOrder } from '../../../core/lists/sections.ts';

const TRIALS: SectionOrder['trials'] = [
  { trial: 'P01-1', state: 'swum', section: null },
  { trial: 'P01-2', state: 'swum', section: { startS: 3, endS: 9, method: 'video', uS: null } },
  { trial: 'P02-1', state: 'swimming', section: null },
  { trial: 'P02-2', state: 'planned', section: null },
  { trial: 'P03-1', state: 'skipped', section: null },
];

function match(
  lines: readonly string[],
  more: Partial<SectionOrder> = {},
  decimalComma = false,
): SectionMatch {
  const [header, ...rows] = lines.map((line) => line.split('|'));
  return matchSections({
    table: {
      file: 'The table',
      header: header!,
      rows: rows.map((cells, index) => ({ line: index + 2, cells })),
      unclosed: [],
      decimalComma,
    },
    matching: null,
    trials: TRIALS,
    method: 'stopwatch',
    uS: { video: null, gate: 0.002, stopwatch: 0.1 },
    sectionM: 10,
    ...more,
  });
}

const sectionOf = (lines: readonly string[], more?: Partial<SectionOrder>) =>
  match(lines, more).rows[0]!.value?.section;

describe('columns', () => {
  test.each<[string, Record<string, string>]>([
    [
      'trial|section_start_s|section_end_s|timing_method|timing_u_s',
      {
        trial: 'trial',
        start: 'section_start_s',
        end: 'section_end_s',
        method: 'timing_method',
        uncertainty: 'timing_u_s',
      },
    ],
    ['Trial|Finish|Time', { trial: 'Trial', end: 'Finish', duration: 'Time' }],
    ['Lauf|Beginn (ms)|Ende (ms)', { trial: 'Lauf', start: 'Beginn (ms)', end: 'Ende (ms)' }],
    ['trial name|split|start time', { trial: 'trial name', duration: 'split', start: 'start time' }],
  ])('%s', (header, matching) => expect(match([header, 'P01-1']).matching).toEqual(matching));
});

describe('times', () => {
  test('start and end, with the protocol’s way of timing and its uncertainty', () =>
    expect(sectionOf(['trial|start|end', 'P01-1|3.2|9.7'])).toEqual({
      startS: 3.2,
      endS: 9.7,
      method: 'stopwatch',
      uS: 0.1,
    }));

  test('end and duration: start = end − duration', () =>
    expect(sectionOf(['trial|end|duration', 'P01-1|9.7|6.4'])).toMatchObject({ startS: 3.3, endS: 9.7 }));

  test('start and duration', () =>
    expect(sectionOf(['trial|start|duration', 'P01-1|3.3|6.4'])).toMatchObject({ startS: 3.3, endS: 9.7 }));

  test('milliseconds by the heading, minutes by the colon', () => {
    expect(sectionOf(['trial|start ms|end ms', 'P01-1|3200|9700'])).toMatchObject({ startS: 3.2, endS: 9.7 });
    expect(sectionOf(['trial|start|end', 'P01-1|1:03.2|1:09.7'])).toMatchObject({ startS: 63.2, endS: 69.7 });
    expect(match(['trial|start|end', 'P01-1|1:03,2|69,7'], {}, true).rows[0]!.value?.section).toMatchObject({
      startS: 63.2,
      endS: 69.7,
    });
  });

  test('the row’s own method and uncertainty go before the protocol’s', () => {
    const header = 'trial|start|end|method|u';
    expect(sectionOf([header, 'P01-1|3|9|light gate|'])).toMatchObject({ method: 'gate', uS: 0.002 });
    expect(sectionOf([header, 'P01-1|3|9|film|'])).toMatchObject({ method: 'video', uS: null });
    expect(sectionOf([header, 'P01-1|3|9|gate|0.01'])).toMatchObject({ method: 'gate', uS: 0.01 });
  });
});

test.each<[string, readonly string[], RegExp]>([
  ['no trial column', ['start|end', '3|9'], /^No column gives the trial/],
  ['empty trial', ['trial|start|end', '|3|9'], /^“trial” is empty/],
  [
    'unknown trial',
    ['trial|start|end', 'P09-1|3|9'],
    /^P09-1 is no trial on the board of a swimmer who consents/,
  ],
  ['not swum yet', ['trial|start|end', 'P02-2|3|9'], /has not been swum yet/],
  ['skipped', ['trial|start|end', 'P03-1|3|9'], /was skipped/],
  ['end before start', ['trial|start|end', 'P01-1|9|3'], /ends at 3 s and starts at 9 s/],
  ['no duration', ['trial|end|duration', 'P01-1|9|0'], /the end comes after the start/],
  ['one time only', ['trial|end', 'P01-1|9'], /has no start and end/],
  [
    'contradiction',
    ['trial|start|end|duration', 'P01-1|3|9|5'],
    /From 3 s to 9 s are 6 s, and the duration says 5 s/,
  ],
  ['no number', ['trial|start|end', 'P01-1|x|9'], /^“start” is "x"; it takes a number/],
  ['method', ['trial|start|end|method', 'P01-1|3|9|sundial'], /it takes video, gate, stopwatch/],
  ['uncertainty below 0', ['trial|start|end|u', 'P01-1|3|9|-0.1'], /between 0 s and 10 s/],
])('%s is said', (_what, lines, says) => {
  const [row] = match(lines).rows;
  expect(row!.value).toBeNull();
  expect(row!.problems[0]).toMatch(says);
  expect(row!.problems[0]).toMatch(/\.$/);
});

test('a trial that comes twice keeps its first row', () => {
  const { rows } = match(['trial|start|end', 'P01-1|3|9', 'P01-1|4|9', 'P02-1|3|9']);
  expect(rows.map(({ value }) => value !== null)).toEqual([true, false, true]);
  expect(rows[1]!.problems[0]).toContain('in line 2 already');
});

test('what was taken but wants a look says so', () => {
  expect(match(['trial|start|end', 'P01-1|3|4.2']).rows[0]!.problems[0]).toContain('8.3 m/s over 10 m');
  const over = match(['trial|start|end', 'P01-2|3.2|9.2']).rows[0]!;
  expect(over.value).not.toBeNull();
  expect(over.problems[0]).toContain('has section times already (3 s to 9 s)');
});
