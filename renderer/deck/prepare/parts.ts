/** The parts of the preparation, in the order in which a lab does them. */
import type { DeckView } from '../../../core/contract/deck.ts';
import type { ReadyItem } from '../../../core/deck/views.ts';

export type PartName = ReadyItem['what'];

export const PART_TITLES: Readonly<Record<PartName, string>> = {
  swimmers: 'Swimmers',
  consent: 'Consent and assent',
  sensors: 'Sensors',
  checklist: 'Cautions and checklist',
  order: 'Order of the trials',
  watch: 'Watched folder',
  dry_run: 'Dry run',
};

export const PART_NAMES = Object.keys(PART_TITLES) as readonly PartName[];

export function headingId(part: PartName): string {
  return `prepare-${part}`;
}

/** Brings a part to the top of the window and puts the focus on its heading. */
export function goToPart(part: PartName): void {
  const heading = document.getElementById(headingId(part));
  heading?.scrollIntoView({ block: 'start' });
  heading?.focus({ preventScroll: true });
}

/** How a part stands: everything done, something needed still open, or only something advised. */
export interface Standing {
  readonly sign: '✓' | '!' | '○';
  readonly word: 'done' | 'needed' | 'advised';
  readonly says: string;
}

/** How a part stands by what the lab says of it; null where it says nothing. */
export function standingOf({ ready }: DeckView, part: PartName): Standing | null {
  const own = ready.filter(({ what }) => what === part);
  const open = own.filter(({ done }) => !done);
  if (own.length === 0) return null;
  const says = (open.length > 0 ? open : own).map((item) => item.says).join(' ');
  if (open.length === 0) return { sign: '✓', word: 'done', says };
  return open.some(({ needed }) => needed)
    ? { sign: '!', word: 'needed', says }
    : { sign: '○', word: 'advised', says };
}
