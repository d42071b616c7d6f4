/** Texts of files are shown, not obeyed: by terminals (ECMA-48 controls) nor in the direction of writing (UAX 9). */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import {
  quoted,
  shownLines,
  shownText,
  withTurnsMeant,
  withTurnsShown,
} from '../../../core/base/plaintext.ts';

test('control characters are shown by their number', () => {
  expect(shownText('a\u001b[2Jb\u0007\u009b1m')).toBe('a⟨U+001B⟩[2Jb⟨U+0007⟩⟨U+009B⟩1m');
  expect(shownLines('one\ntwo\rthree')).toBe('one\ntwo⟨U+000D⟩three');
});

test('nothing that a terminal obeys is left in any text', () => {
  fc.assert(
    fc.property(fc.string({ unit: 'binary' }), (text) => {
      expect(shownText(text)).not.toMatch(/\p{Cc}|[\u202a-\u202e\u2066-\u2069]/u);
    }),
    { numRuns: 500 },
  );
});

test('a long wrong value is cut', () => expect(quoted('x'.repeat(100))).toBe(`"${'x'.repeat(60)}…"`));

test('marks of direction in a view are shown, and what goes back is as it was', () => {
  const view = { name: 'a\u202eb', list: [1, 'c\u2066'], plain: { text: 'd' } };
  expect(withTurnsShown(view)).toEqual({ name: 'a⟨U+202E⟩b', list: [1, 'c⟨U+2066⟩'], plain: { text: 'd' } });
  expect(withTurnsMeant(withTurnsShown(view))).toEqual(view);
  const plain = { text: 'd', list: ['e'] };
  expect(withTurnsShown(plain)).toBe(plain);
});
