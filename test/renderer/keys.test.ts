/** WCAG 2.2, success criterion 2.1.4: single character keys can be turned off or remapped. */
import { beforeEach, describe, expect, it, vi } from 'vitest';
import { chordOf, chordParts, isSingleKey, Keys, type KeyAction } from '../../renderer/keys.svelte.ts';

const press = (key: string, more: KeyboardEventInit = {}) =>
  new KeyboardEvent('keydown', { key, bubbles: true, cancelable: true, ...more });

const action = (id: string, key: string, run = vi.fn(), when?: () => boolean): KeyAction => ({
  id,
  key,
  label: id,
  group: 'Test',
  run,
  ...(when === undefined ? {} : { when }),
});

let kept: Map<string, string>;
const store = {
  getItem: (name: string) => kept.get(name) ?? null,
  setItem: (name: string, value: string) => kept.set(name, value),
};
let keys: Keys;
beforeEach(() => {
  kept = new Map();
  document.body.innerHTML = '';
  keys = new Keys(store as never);
});

describe('chords', () => {
  it.each([
    ['a', {}, 'A'],
    ['A', { shiftKey: true }, 'Shift+A'],
    ['?', { shiftKey: true }, '?'],
    [' ', {}, 'Space'],
    ['ArrowLeft', { shiftKey: true }, 'Shift+ArrowLeft'],
    ['Z', { ctrlKey: true, shiftKey: true }, 'Mod+Shift+Z'],
    ['z', { metaKey: true }, 'Mod+Z'],
    ['Control', { ctrlKey: true }, null],
  ] as const)('%s %o is %s', (key, more, chord) => {
    expect(chordOf(press(key, more))).toBe(chord);
  });

  it('knows single keys', () => {
    expect(['A', 'Shift+A', '?', '+'].every(isSingleKey)).toBe(true);
    expect(['Mod+Z', 'ArrowLeft', 'Space', 'Alt+A', 'Home'].some(isSingleKey)).toBe(false);
  });

  it('prints chords as keys', () => {
    expect(chordParts('Mod+Shift+Z')).toEqual(['Ctrl', 'Shift', 'Z']);
    expect(chordParts('+')).toEqual(['+']);
    expect(chordParts('Mod++')).toEqual(['Ctrl', '+']);
    expect(chordParts('Shift+ArrowLeft')).toEqual(['Shift', '←']);
  });
});

describe('the registry', () => {
  it('runs an action while it is registered, and takes the key from the browser', () => {
    const run = vi.fn();
    const unregister = keys.register(action('one', 'J', run));
    const event = press('j');
    keys.handle(event);
    expect(run).toHaveBeenCalledOnce();
    expect(event.defaultPrevented).toBe(true);
    unregister();
    keys.handle(press('j'));
    expect(run).toHaveBeenCalledOnce();
  });

  it('leaves a key alone while its action does not apply', () => {
    const run = vi.fn();
    keys.register(action('one', 'J', run, () => false));
    const event = press('j');
    keys.handle(event);
    expect(run).not.toHaveBeenCalled();
    expect(event.defaultPrevented).toBe(false);
  });

  it('turns single keys off, and only those, and remembers it', () => {
    const [single, chord] = [vi.fn(), vi.fn()];
    keys.single = false;
    const again = new Keys(store as never);
    again.register(action('one', 'J', single));
    again.register(action('two', 'Mod+Z', chord));
    again.handle(press('j'));
    again.handle(press('z', { ctrlKey: true }));
    expect(single).not.toHaveBeenCalled();
    expect(chord).toHaveBeenCalledOnce();
  });

  it('gives an action another key, remembers it, and puts it back', () => {
    const run = vi.fn();
    const one = action('one', 'J', run);
    keys.register(one);
    keys.change(one, 'K');
    keys.handle(press('j'));
    expect(run).not.toHaveBeenCalled();
    keys.handle(press('k'));
    expect(run).toHaveBeenCalledOnce();
    expect(new Keys(store as never).keyOf(one)).toBe('K');
    expect(keys.isChanged(one)).toBe(true);
    keys.change(one, null);
    expect(keys.keyOf(one)).toBe('J');
  });

  it('tells which actions share a key', () => {
    const [one, two] = [action('one', 'J'), action('two', 'K')];
    keys.register(one);
    keys.register(two);
    expect(keys.conflictsOf(one)).toEqual([]);
    keys.change(two, 'J');
    expect(keys.conflictsOf(one)).toEqual([two]);
    expect(keys.conflictsOf(two)).toEqual([one]);
  });

  it.each([
    ['a text field', '<input>', 'j'],
    ['a list', '<select></select>', 'j'],
    ['a button, for Enter', '<button>x</button>', 'Enter'],
  ])('leaves its keys to %s', (_where, html, key) => {
    document.body.innerHTML = html;
    const run = vi.fn();
    keys.register(action('one', key === 'j' ? 'J' : 'Enter', run));
    document.body.addEventListener('keydown', (event) => keys.handle(event), { once: true });
    document.body.firstElementChild!.dispatchEvent(press(key));
    expect(run).not.toHaveBeenCalled();
  });

  it('gives a digit back to the field that was left with a fault, and to no shortcut', () => {
    document.body.innerHTML = '<input aria-invalid="true"><input>';
    const [faulty, other] = document.querySelectorAll('input');
    const run = vi.fn();
    keys.register(action('one', '8', run));
    faulty!.focus();
    faulty!.blur();
    keys.handle(press('8'));
    expect(run).not.toHaveBeenCalled();
    expect(document.activeElement).toBe(faulty);
    faulty!.setAttribute('aria-invalid', 'false');
    faulty!.blur();
    keys.handle(press('8'));
    expect(run).toHaveBeenCalledTimes(1);
    other!.focus();
    other!.blur();
    keys.handle(press('8'));
    expect(run).toHaveBeenCalledTimes(2);
  });

  it('takes Space from a list that leaves it, and no other key', () => {
    document.body.innerHTML = '<select data-leaves-space></select>';
    const run = vi.fn();
    keys.register(action('play', 'Space', run));
    keys.register(action('one', 'J', run));
    const select = document.querySelector('select')!;
    select.addEventListener('keydown', (event) => keys.handle(event));
    select.dispatchEvent(press('j'));
    expect(run).not.toHaveBeenCalled();
    select.dispatchEvent(press(' '));
    expect(run).toHaveBeenCalledTimes(1);
  });

  it('is still while a dialog is open', () => {
    document.body.innerHTML = '<dialog open></dialog>';
    const run = vi.fn();
    keys.register(action('one', 'J', run));
    keys.handle(press('j'));
    expect(run).not.toHaveBeenCalled();
  });

  it('starts from its own keys where what was kept cannot be read', () => {
    for (const text of ['{', '3', '{"single":"x","changed":{"one":5}}']) {
      kept.set('lanebench.keys', text);
      const again = new Keys(store as never);
      expect(again.single).toBe(true);
      expect(again.keyOf(action('one', 'J'))).toBe('J');
    }
  });
});
