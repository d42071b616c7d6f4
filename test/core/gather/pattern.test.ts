/**
 * Patterns of names against a second reading of formats.md section 5 in Python (test/oracle/names.py), which tries every
 * cut of a name, and the laws of cutting.
 */
import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it, test } from 'vitest';
import { foldName, parsePattern, waysOf, type NameWay } from '../../../core/gather/pattern.ts';

const PYTHON = '/usr/bin/python3';

function ways(pattern: string, path: string, roster: readonly string[]): readonly NameWay[] {
  const parsed = parsePattern(pattern);
  if (!parsed.ok) throw new Error(parsed.error);
  const known = new Set(roster.map(foldName));
  return waysOf(parsed.value, path, (text) => known.has(foldName(text)))!;
}

/** A way in small letters, its fields in the order of their names. */
const plain = (way: NameWay) =>
  Object.fromEntries(
    Object.entries(way)
      .map(([field, value]) => [field, foldName(String(value))] as const)
      .toSorted(([a], [b]) => (a < b ? -1 : 1)),
  );
const sorted = (list: readonly object[]) => list.map((way) => JSON.stringify(way)).toSorted();

const code = fc.stringMatching(/^[aAbB1_.-]{1,3}$/);
const piece = fc.oneof(
  fc.constantFrom('{participant}', '{attempt}', '{condition}', '{camera}', '{trial}', '{any}'),
  fc.constantFrom('_', '-', 'a', '1', '/', 'B'),
);
const invented = fc.record({
  pattern: fc
    .array(piece, { minLength: 1, maxLength: 5 })
    .map((parts) => parts.join(''))
    .filter((text) => text.includes('{participant}') || text.includes('{trial}')),
  path: fc.stringMatching(/^[aAbB12_./-]{1,9}$/),
  roster: fc.array(code, { minLength: 1, maxLength: 4 }),
});

describe.skipIf(!existsSync(PYTHON))('an independent reading', () => {
  it('finds the same ways to cut invented names', () => {
    const cases = fc.sample(invented, { seed: 17, numRuns: 3000 });
    const run = spawnSync(PYTHON, ['test/oracle/names.py'], {
      input: JSON.stringify(cases),
      encoding: 'utf8',
    });
    expect(run.stderr).toBe('');
    const theirs = JSON.parse(run.stdout) as object[][];
    expect(theirs.filter((found) => found.length > 0).length).toBeGreaterThan(100);
    expect(theirs.filter((found) => found.length > 1).length).toBeGreaterThan(20);
    cases.forEach(({ pattern, path, roster }, at) =>
      expect(
        sorted(ways(pattern, path, roster).map(plain)),
        `${pattern} on ${path}, ${roster.join()}`,
      ).toEqual(sorted(theirs[at]!.map((way) => plain(way as NameWay)))),
    );
  });
});

test('a name made from a pattern is cut the way it was made', () => {
  const free = fc.stringMatching(/^[A-Za-z0-9.-]{1,6}$/);
  fc.assert(
    fc.property(free, fc.integer({ min: 1, max: 999 }), free, (participant, attempt, camera) => {
      const name = `${participant}_${attempt}_cam${camera}.mp4`;
      expect(
        ways('{participant}_{attempt}_cam{camera}.MP4', `some/folder/${name.toUpperCase()}`, [
          participant,
        ]).map(plain),
      ).toContainEqual(plain({ participant, attempt, camera }));
    }),
  );
});

test.each([
  ['{participant}_{attempt}.csv', 'a/b/P01_002.CSV', [{ participant: 'P01', attempt: 2 }]],
  ['b/{participant}_{attempt}.csv', 'a/b/P01_2.csv', []],
  ['{any}/b/{participant}_{attempt}.csv', 'a/b/P01_2.csv', [{ participant: 'P01', attempt: 2 }]],
  ['{participant}/{participant}_{attempt}.csv', 'P01/p01_2.csv', [{ participant: 'P01', attempt: 2 }]],
  ['{participant}/{participant}_{attempt}.csv', 'P02/P01_2.csv', []],
  ['{participant}_{attempt}.csv', 'P01_0.csv', []],
  ['{participant}_{attempt}.csv', 'X9_1.csv', []],
  [
    '{participant}{attempt}.csv',
    'P111.csv',
    [
      { participant: 'P1', attempt: 11 },
      { participant: 'P11', attempt: 1 },
    ],
  ],
  [
    '{participant}_{condition}_{attempt}.csv',
    'P01_all_out_1.csv',
    [{ participant: 'P01', condition: 'all_out', attempt: 1 }],
  ],
  ['Lauf ä {participant}.csv', 'LAUF A\u0308 P01.csv', [{ participant: 'P01' }]],
] as const)('%s on %s', (pattern, path, expected) =>
  expect(ways(pattern, path, ['P01', 'P02', 'P1', 'P11'])).toEqual(expected),
);

test.each([
  ['{participant}_{attemp}.csv', /\{attemp\}.*\{attempt\}/],
  ['{participant.csv', /brace/],
  ['run_{attempt}.csv', /whose/],
  ['{any}'.repeat(20) + '{trial}', /20|21/],
])('%s is no pattern, and is told why', (text, says) =>
  expect(parsePattern(text)).toEqual({ ok: false, error: expect.stringMatching(says) }),
);

test('a name that can be cut in more ways than anyone means is not looked through', () => {
  const parsed = parsePattern('{trial}{condition}{camera}{trial}{condition}');
  if (!parsed.ok) throw new Error(parsed.error);
  expect(waysOf(parsed.value, 'a'.repeat(250), () => true)).toBeNull();
});
