/** What a file's name says of its kind and of its trial. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { BoardTrial } from '../../../core/deck/deck.ts';
import { kindOf, placeByName } from '../../../core/arrival/names.ts';
import { CAMERAS, NAMES, RUNS, film, swim, trace } from './files.ts';

describe('a kind of file', () => {
  test.each([
    ['P01-1.csv', 'trace'],
    ['sub.d/P01-1.TXT', 'trace'],
    ['a.tsv', 'trace'],
    ['a.b.MP4', 'film'],
    ['a.webm', 'film'],
    ['a.m4v', 'film'],
    ['a.mov', 'film'],
    ['csv', 'other'],
    ['folder.csv/notes', 'other'],
    ['a.docx', 'other'],
    ['a.', 'other'],
  ])('%s is %s', (name, kind) => expect(kindOf(name)).toBe(kind));
});

describe('a name', () => {
  const place = (name: string, patterns = NAMES, swims: readonly BoardTrial[] = RUNS, cameras = CAMERAS) =>
    placeByName(name, patterns, swims, cameras);

  test.each([
    ['P01-1.csv', trace('P01-1')],
    ['p01-1.CSV', trace('P01-1')],
    ['morning/P01-1.csv', trace('P01-1')],
    ['P01-1.mp4', film('P01-1')],
    ['P01-1_b.webm', film('P01-1', 'B')],
    ['pool 2 P03-1.csv', trace('P03-1')],
    ['P02-lane 4-take01.csv', trace('P02-1')],
    ['P02-lane 4-take2.csv', trace('P02-2')],
    ['dry-run.csv', trace('dry-run')],
    ['Dry-Run.mp4', film('dry-run')],
    ['dry-run_B.mp4', film('dry-run', 'B')],
  ])('%s tells its place', (name, expected) => expect(place(name)).toEqual(expected));

  test.each([
    ['P01-10.csv', 'a trial whose number goes on'],
    ['poolP01-1.csv', 'a word that runs into the code'],
    ['P01-1_C.mp4', 'a camera the day lacks'],
    ['P01-1_B.csv', 'a trace that is named after a camera'],
    ['P01-7.csv', 'a trial that is not on the board'],
    ['P01.csv', 'no attempt'],
    ['P01-1.docx', 'neither trace nor film'],
    ['.csv', 'nothing'],
  ])('%s tells none: %s', (name) => expect(place(name)).toBeNull());

  test('finds codes among those of the day, the longest first, also where they hold the separators', () => {
    const swims = [swim('S', 1), swim('S-1', 1), swim('S_1.a', 2)];
    expect(place('S-1.csv', ['{trial}'], swims)).toEqual(trace('S-1'));
    expect(place('S-1-1.csv', ['{trial}', '{participant}-{any}'], swims)).toEqual(trace('S-1-1'));
    expect(place('S_1.a-2_B.mp4', ['{trial}_{camera}'], swims)).toEqual(film('S_1.a-2', 'B'));
    expect(place('x S-1-1 y.csv', ['{any}{trial}{any}'], swims)).toEqual(trace('S-1-1'));
  });

  test('that fits two trials tells none', () => {
    const swims = [swim('P1', 12), swim('P11', 2), swim('P2', 1), swim('P2', 2)];
    expect(place('P112.csv', ['{participant}{attempt}'], swims)).toBeNull();
    expect(place('P2.csv', ['{participant}'], swims)).toBeNull();
    expect(place('P2 P11-2.csv', ['{participant} {any}', '{any} {trial}'], swims)).toEqual(trace('P11-2'));
    expect(place('P1.csv', ['{participant}'], swims)).toEqual(trace('P1-12'));
    expect(place('P2-1 P2-2.csv', ['{trial} {any}', '{any} {trial}'], swims)).toBeNull();
    expect(place('P2-1 P2-2.csv', ['{trial} {trial}'], swims)).toBeNull();
  });

  test('of a film without a camera is camera A’s, where the day has one or names none', () => {
    expect(place('P01-1.mp4', NAMES, RUNS, [])).toEqual(film('P01-1'));
    expect(place('P01-1.mp4', NAMES, RUNS, ['B', 'A'])).toEqual(film('P01-1'));
    expect(place('P01-1.mp4', NAMES, RUNS, ['side'])).toBeNull();
  });

  test('with letters that disks write in two ways is the same', () =>
    expect(place('bassin e\u0301 P01-1.csv', ['bassin \u00e9 {trial}'])).toEqual(trace('P01-1')));

  test('and a pattern of many free parts cost little', () => {
    const patterns = ['{any}-{any}-{any}-{any}-{any}-{trial}-{any}'];
    const began = performance.now();
    expect(place(`${'-'.repeat(240)}.csv`, patterns)).toBeNull();
    expect(performance.now() - began).toBeLessThan(1000);
  });

  // Made from codes, then read: what went in must come out, or nothing where codes can be cut in two ways.
  test('made by a pattern is read back', () => {
    const code = fc.stringMatching(/^[A-Za-z0-9_.-]{1,6}$/);
    fc.assert(
      fc.property(
        fc.uniqueArray(code, { minLength: 1, maxLength: 5, selector: (one) => one.toLowerCase() }),
        (codes) => {
          const swims = codes.flatMap((participant) => [swim(participant, 1), swim(participant, 2)]);
          for (const { trial } of swims) {
            expect(place(`${trial}.csv`, ['{trial}'], swims)).toEqual(trace(trial));
            expect(place(`${trial} x.mp4`, ['{trial} {any}'], swims)).toEqual(film(trial));
            const found = place(`${trial}.csv`, ['{participant}-{attempt}'], swims);
            expect(found).toEqual(trace(trial));
          }
        },
      ),
    );
  });
});
