/**
 * Every keyboard shortcut of the program, in one place: screens register theirs while they are shown, the Keys dialog
 * lists them, changes them and turns the single-key ones off (WCAG 2.2, 2.1.4).
 *
 * A key is written as a chord: `Mod+Z` (Ctrl, or ⌘ on a Mac), `Alt+ArrowUp`, `Shift+ArrowLeft`, `Space`, `Home`, `A`, `?`.
 * Letters are capitals whatever the Shift key does; `Shift+A` is A with Shift. For other characters Shift is not
 * written, since layouts differ.
 */
import { untrack } from 'svelte';

export interface KeyAction {
  /** Stable name under which a changed key is remembered, such as `review.next-frame`. */
  readonly id: string;
  /** The chord used until a person changes it. */
  readonly key: string;
  /** What it does, as a short phrase for the Keys dialog. */
  readonly label: string;
  /** Heading in the Keys dialog. */
  readonly group: string;
  readonly run: (event: KeyboardEvent) => void;
  /** False while the action does not apply; the key is then left to the browser. */
  readonly when?: () => boolean;
}

/** What the registry remembers between starts. */
interface KeyStore {
  readonly getItem: (name: string) => string | null;
  readonly setItem: (name: string, value: string) => void;
}

interface Kept {
  readonly single: boolean;
  readonly changed: Readonly<Record<string, string>>;
}

const KEPT = 'lanebench.keys';
const MODIFIERS = new Set(['Control', 'Shift', 'Alt', 'Meta', 'AltGraph']);

/** The chord of a key press; null while only modifiers are down. */
export function chordOf(event: KeyboardEvent): string | null {
  if (MODIFIERS.has(event.key) || event.key === 'Dead' || event.key === '') return null;
  const isCharacter = [...event.key].length === 1;
  const name = event.key === ' ' ? 'Space' : isCharacter ? event.key.toUpperCase() : event.key;
  const isLetter = isCharacter && event.key.toLowerCase() !== event.key.toUpperCase();
  const parts = [];
  if (event.ctrlKey || event.metaKey) parts.push('Mod');
  if (event.altKey) parts.push('Alt');
  if (event.shiftKey && (isLetter || !isCharacter || event.key === ' ')) parts.push('Shift');
  return [...parts, name].join('+');
}

/** True for a chord made by one character key, with or without Shift: what 2.1.4 lets a person turn off. */
export function isSingleKey(chord: string): boolean {
  const name = chord.replace(/^Shift\+/, '');
  return [...name].length === 1;
}

const SPOKEN: Readonly<Record<string, string>> = {
  Mod: 'Ctrl',
  ArrowLeft: '←',
  ArrowRight: '→',
  ArrowUp: '↑',
  ArrowDown: '↓',
  Escape: 'Esc',
};

/** The parts of a chord as they are printed on keys. */
export function chordParts(chord: string): readonly string[] {
  const parts = chord === '+' ? ['+'] : chord.replace(/\+\+$/, '+Plus').split('+');
  return parts.map((part) => SPOKEN[part] ?? (part === 'Plus' ? '+' : part));
}

export class Keys {
  #actions = $state.raw<readonly KeyAction[]>([]);
  #kept = $state.raw<Kept>({ single: true, changed: {} });
  readonly #store: KeyStore;
  /** What had the focus last before it was left. */
  #left: EventTarget | null = null;

  constructor(store: KeyStore) {
    this.#store = store;
    document.addEventListener('focusout', ({ target }) => (this.#left = target));
    this.#kept = readKept(store.getItem(KEPT));
  }

  /** Actions of what is on the screen, in the order in which they were registered. */
  get actions(): readonly KeyAction[] {
    return this.#actions;
  }

  /** Whether single-key shortcuts act. */
  get single(): boolean {
    return this.#kept.single;
  }

  set single(on: boolean) {
    this.#keep({ ...this.#kept, single: on });
  }

  /** Adds an action; call the returned function when it no longer applies (an `$effect` may return it). */
  register(action: KeyAction): () => void {
    untrack(() => (this.#actions = [...this.#actions, action]));
    return () => untrack(() => (this.#actions = this.#actions.filter((other) => other !== action)));
  }

  /** The chord an action answers to. */
  keyOf(action: KeyAction): string {
    return this.#kept.changed[action.id] ?? action.key;
  }

  isChanged(action: KeyAction): boolean {
    return this.keyOf(action) !== action.key;
  }

  /** Gives an action another chord; null puts its own back. */
  change(action: KeyAction, chord: string | null): void {
    const { [action.id]: _old, ...others } = this.#kept.changed;
    this.#keep({ ...this.#kept, changed: chord === null ? others : { ...others, [action.id]: chord } });
  }

  /** Other actions on the screen that answer to the same chord. */
  conflictsOf(action: KeyAction): readonly KeyAction[] {
    const key = this.keyOf(action);
    return this.#actions.filter((other) => other.id !== action.id && this.keyOf(other) === key);
  }

  /** Runs the action a key press stands for. Text fields, open dialogs and handled presses keep their keys. */
  handle(event: KeyboardEvent): void {
    const chord = chordOf(event);
    if (chord === null || event.defaultPrevented || event.isComposing) return;
    if (isSingleKey(chord) && !this.single) return;
    if (keepsItsKeys(event.target, chord)) return;
    if (/^[\d.,]$/.test(chord) && backToFault(this.#left)) {
      event.preventDefault();
      return;
    }
    const action = this.#actions.find((each) => this.keyOf(each) === chord && (each.when?.() ?? true));
    if (action === undefined) return;
    event.preventDefault();
    action.run(event);
  }

  #keep(kept: Kept): void {
    this.#kept = kept;
    this.#store.setItem(KEPT, JSON.stringify(kept));
  }
}

/** A digit meant for a field that was left with a fault is no shortcut: the field has the focus again, all selected. */
function backToFault(left: EventTarget | null): boolean {
  if (!(left instanceof HTMLInputElement) || !left.isConnected) return false;
  if (document.activeElement !== document.body || left.getAttribute('aria-invalid') !== 'true') return false;
  left.focus();
  left.select();
  return true;
}

function keepsItsKeys(target: EventTarget | null, chord: string): boolean {
  if (document.querySelector('dialog[open]') !== null) return true;
  if (!(target instanceof Element)) return false;
  // A menu beside the film: the arrows and Enter are enough for it, Space plays.
  if (chord === 'Space' && target.closest('[data-leaves-space]') !== null) return false;
  if (target.closest('input, textarea, select, [contenteditable]') !== null) return true;
  const presses = chord === 'Space' || chord === 'Enter';
  return presses && target.closest('button, a, summary, [role="button"]') !== null;
}

function readKept(text: string | null): Kept {
  try {
    const kept: unknown = JSON.parse(text ?? 'null');
    if (typeof kept !== 'object' || kept === null) return { single: true, changed: {} };
    const { single, changed } = kept as { single?: unknown; changed?: unknown };
    const pairs = Object.entries(typeof changed === 'object' && changed !== null ? changed : {});
    return {
      single: single !== false,
      changed: Object.fromEntries(
        pairs.filter((pair): pair is [string, string] => typeof pair[1] === 'string'),
      ),
    };
  } catch {
    return { single: true, changed: {} };
  }
}

export const keys = new Keys(localStorage);
