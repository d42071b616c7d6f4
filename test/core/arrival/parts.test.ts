/** A file that goes on from an earlier one. */
import { describe, expect, test } from 'vitest';
import type { DeckBoard } from '../../../core/deck/deck.ts';
import { placeFiles } from '../../../core/arrival/places.ts';
import type { ArrivedFile } from '../../../core/arrival/parts.ts';
import type { FileView } from '../../../core/deck/views.ts';
import { about, arrived, board, give, states, trace } from './files.ts';

describe('a file that goes on from an earlier one', () => {
  const half = (changed: Partial<ArrivedFile> = {}) => arrived(1, 'P01-1.csv', changed);
  const whole = (changed: Partial<ArrivedFile> = {}) =>
    arrived(3, 'P01-1.csv', { bytes: 26, continues: 1, ...changed });
  const brief = (files: readonly FileView[]) =>
    files.map(({ id, state, place, by }) => [id, state, place?.trial ?? null, by]);
  const placed = (came: readonly ArrivedFile[], given: DeckBoard['given'] = []) =>
    brief(placeFiles(came, board(given), about()));

  test('has its place by name, before what came in between; the earlier one says so', () => {
    const files = placeFiles([half(), arrived(2, 'pool P01-1.csv'), whole()], board(), about());
    expect(brief(files)).toEqual([
      [1, 'twice', null, null],
      [2, 'offered', null, null],
      [3, 'placed', 'P01-1', 'name'],
    ]);
    expect(files[0]).toMatchObject({
      offers: [],
      says: 'It was not whole when it came: the longer P01-1.csv (26 B) that came later goes on from it.',
    });
    expect(files[1]!.says).toContain('came before as P01-1.csv');
    expect(files[2]!.says).toBe('');
  });

  test('has the place a person gave, through every part', () => {
    const came = [
      arrived(1, 'rec.csv'),
      arrived(2, 'rec.csv', { continues: 1 }),
      arrived(3, 'rec.csv', { continues: 2 }),
    ];
    const given = [give(1, trace('P02-1'))];
    expect(placed(came.slice(0, 2), given)).toEqual([
      [1, 'twice', null, null],
      [2, 'placed', 'P02-1', 'person'],
    ]);
    const last = [
      [1, 'twice', null, null],
      [2, 'twice', null, null],
      [3, 'placed', 'P02-1', 'person'],
    ];
    expect(placed(came, given)).toEqual(last);
    expect(placed(came, [give(1, trace('P03-1')), give(2, trace('P02-1'))])).toEqual(last);
    expect(placed(came, [give(2, trace('P01-1')), give(1, trace('P02-1'))])).toEqual(last);
    expect(placed(came, [give(1, trace('P01-1')), give(3, trace('P02-1'))])).toEqual(last);
  });

  test('set aside by a person lets the earlier one be given all the same', () => {
    const aside = [give(3, null, 'spoilt')];
    expect(placed([half(), whole()], aside)).toEqual([
      [1, 'twice', null, null],
      [3, 'aside', null, 'person'],
    ]);
    const files = placeFiles([half(), whole()], board([...aside, give(1, trace('P01-1'))]), about());
    expect(brief(files)).toEqual([
      [1, 'placed', 'P01-1', 'person'],
      [3, 'aside', null, 'person'],
    ]);
    expect(files[0]!.says).toContain('may not be whole');
  });

  test('is not set aside with the earlier one', () =>
    expect(placed([half(), whole()], [give(1, null, 'only half')])).toEqual([
      [1, 'aside', null, 'person'],
      [3, 'placed', 'P01-1', 'name'],
    ]));

  test('that could not be read has nothing to give up', () => {
    const bad = half({ outcome: 'unreadable', reason: 'P01-1.csv is no table.' });
    expect(placed([bad, whole()])).toEqual([
      [1, 'twice', null, null],
      [3, 'placed', 'P01-1', 'name'],
    ]);
    expect(placed([bad, arrived(2, 'x P01-1.csv'), whole()]).map(([, state]) => state)).toEqual([
      'twice',
      'placed',
      'offered',
    ]);
  });

  test('and cannot be read itself takes no place away; what goes on from both does', () => {
    const spoilt = arrived(2, 'P01-1.csv', {
      continues: 1,
      outcome: 'unreadable',
      reason: 'It is no table.',
    });
    const files = placeFiles([half(), spoilt], board(), about());
    expect(brief(files)).toEqual([
      [1, 'placed', 'P01-1', 'name'],
      [2, 'unreadable', null, null],
    ]);
    expect(files[0]!.says).toContain('may not be whole');
    expect(placed([half(), spoilt, whole({ continues: 2 })])).toEqual([
      [1, 'twice', null, null],
      [2, 'twice', null, null],
      [3, 'placed', 'P01-1', 'name'],
    ]);
    const more = arrived(3, 'P01-1.csv', { continues: 2, outcome: 'unreadable', reason: 'It is no table.' });
    expect(placed([half(), spoilt, more]).map(([, state]) => state)).toEqual([
      'placed',
      'twice',
      'unreadable',
    ]);
  });

  test('whose content came under another name before has the place of the earlier one', () => {
    const copy = arrived(2, 'copy.csv', { sha256: 'a' });
    const files = placeFiles([half(), copy, whole({ outcome: 'twice', sha256: 'a' })], board(), about());
    expect(states(files)).toEqual(['twice', 'offered', 'placed']);
    expect(files[2]!.says).toBe('Its content came before, as copy.csv.');
  });

  test('beside another that does so is the first to come', () => {
    const files = placeFiles([half(), whole(), arrived(4, 'P01-1.csv', { continues: 1 })], board(), about());
    expect(states(files)).toEqual(['twice', 'placed', 'offered']);
    expect(files[2]!.says).toContain('same name with other content');
  });

  test('is hidden with it, and each copy of both', () => {
    const came = [
      arrived(1, 'rec.csv', { sha256: 'a' }),
      arrived(2, 'copy.csv', { outcome: 'twice', sha256: 'a' }),
      arrived(3, 'rec.csv', { sha256: 'b', continues: 1 }),
      arrived(4, 'copy of all.csv', { outcome: 'twice', sha256: 'b' }),
    ];
    for (const file of [1, 2, 3, 4]) {
      const given = board([give(file, trace('P02-1'))]);
      const files = placeFiles(came, given, about({ P02: { measuring: 'withdrawn' } }));
      expect(states(files)).toEqual(['hidden', 'hidden', 'hidden', 'hidden']);
      expect(JSON.stringify(files)).not.toMatch(/P02|rec|copy/);
    }
  });
});
