/** The keys of the grid: what each does with the line at the cursor. */

export interface GridMove {
  /** The line the cursor goes to; absent where it stays. */
  readonly to?: number;
  /** True where the lines on the way are selected too. */
  readonly extends?: boolean;
  readonly act?: 'toggle' | 'open' | 'all' | 'none';
}

/** What a key means; null where the grid leaves it to others. */
export function moveOf(
  event: Pick<KeyboardEvent, 'key' | 'shiftKey' | 'ctrlKey' | 'metaKey' | 'altKey'>,
  cursor: number,
  count: number,
  page: number,
): GridMove | null {
  if (event.altKey || count === 0) return null;
  const isMod = event.ctrlKey || event.metaKey;
  const within = (line: number) => Math.max(0, Math.min(count - 1, line));
  if (isMod) return event.key.toLowerCase() === 'a' ? { act: 'all' } : null;
  switch (event.key) {
    case 'ArrowDown':
      return { to: within(cursor + 1), extends: event.shiftKey };
    case 'ArrowUp':
      return { to: within(cursor - 1), extends: event.shiftKey };
    case 'PageDown':
      return { to: within(cursor + page), extends: event.shiftKey };
    case 'PageUp':
      return { to: within(cursor - page), extends: event.shiftKey };
    case 'Home':
      return { to: 0, extends: event.shiftKey };
    case 'End':
      return { to: count - 1, extends: event.shiftKey };
    case ' ':
      return { act: 'toggle' };
    case 'Enter':
      return { act: 'open' };
    case 'Escape':
      return { act: 'none' };
    default:
      return null;
  }
}
