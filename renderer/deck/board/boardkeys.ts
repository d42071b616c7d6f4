/** The keys of the board. Every one can be changed in the Keys dialog. */
import { tick } from 'svelte';
import type { KeyAction } from '../../keys.svelte.ts';
import type { ArrivalDesk } from '../arrival/arrivaldesk.svelte.ts';
import type { BoardDesk } from './board.svelte.ts';
import { boardTrialOf } from './boardrules.ts';
import { ONE_TAP_NOTES } from './boardwords.ts';

type Line = readonly [id: string, key: string, label: string, run: () => void];

/** What a key puts the focus on, by the element's id. */
export const FOCUS = {
  report: 'deck-report',
  now: 'deck-now',
  note: 'deck-note',
  order: 'deck-order',
  dryRun: 'deck-dry-run',
} as const;

export function focusOn(what: keyof typeof FOCUS): void {
  const element = document.getElementById(FOCUS[what]);
  element?.focus();
  element?.scrollIntoView({ block: 'nearest' });
}

/** Opens a trial's verdict, and goes to it. */
export async function goToArrival(board: BoardDesk, trial: string): Promise<void> {
  board.lookAt(trial);
  await tick();
  focusOn('report');
}

export function boardKeys(board: BoardDesk, check: ArrivalDesk): readonly KeyAction[] {
  const group = (name: string, lines: readonly Line[]): readonly KeyAction[] =>
    lines.map(([id, key, label, run]) => ({
      id: `deck.${id}`,
      key,
      label,
      group: name,
      // A key that is held down is one press.
      run: (event) => {
        if (!event.repeat) run();
      },
    }));
  const now = () => (board.view === null ? null : boardTrialOf(board.view, board.view.now));
  /** Does what the key of the trial does, with the trial in sight. */
  const inSight = (what: () => Promise<boolean>) => {
    document.getElementById(FOCUS.now)?.scrollIntoView({ block: 'nearest' });
    void what();
  };
  const moveChosen = (way: 'up' | 'down') => {
    if (board.chosen !== null) void board.move(board.chosen, way);
  };
  return [
    ...group('On deck: the trial', [
      ['begin', 'B', 'Begin the trial that is on', () => inSight(() => board.begin(null, 'key'))],
      ['end', 'E', 'The trial has ended', () => inSight(() => board.end('key'))],
      [
        'skip',
        'S',
        'Skip the trial that is on',
        () => {
          const swim = now();
          if (swim?.state === 'planned') board.open({ what: 'skip', trial: swim.trial });
        },
      ],
      [
        'swimmer',
        'P',
        'The swimmer who is on',
        () => {
          const swim = now();
          if (swim !== null) board.open({ what: 'swimmer', participant: swim.participant });
        },
      ],
    ]),
    ...group('On deck: the verdict', [
      ['keep', 'K', 'Accept the trial', () => void check.answer('keep')],
      ['again', 'A', 'Swim the trial again', () => void check.answer('again')],
      ['leave', 'L', 'Exclude the trial', () => void check.answer('leave')],
      ['finding-next', 'F', 'Show the next finding', () => check.step(1)],
      ['finding-back', 'Shift+F', 'Show the finding before', () => check.step(-1)],
      ['whole', 'W', 'Show the whole trace', () => check.choose(null)],
    ]),
    ...group('On deck: notes', [
      ...ONE_TAP_NOTES.map((tap, index): Line => [
        `note-${index + 1}`,
        String(index + 1),
        tap.kind === 'stop' ? `${tap.says}, at once` : `Note: ${tap.says}`,
        () => void board.tap(tap),
      ]),
      ['note', 'N', 'Write a note', () => focusOn('note')],
    ]),
    ...group('On deck: the order', [
      ['order', 'O', 'Go to the order', () => focusOn('order')],
      ['add', 'R', 'Add a trial', () => board.open({ what: 'add' })],
      ['up', 'Alt+ArrowUp', 'The chosen trial one place earlier', () => moveChosen('up')],
      ['down', 'Alt+ArrowDown', 'The chosen trial one place later', () => moveChosen('down')],
      ['dry-run', 'D', 'Go to the dry run', () => focusOn('dryRun')],
    ]),
  ];
}
