/** A trial's sensors and section times in words. */
import type { BoardTrial } from '../../../core/deck/deck.ts';
import { HANDS } from '../../../core/base/hand.ts';
import type { DeckView } from '../../../core/contract/deck.ts';
import type { TimingMethod } from '../../../core/protocol/content.ts';
import type { SectionWord } from '../../../core/marking/words.ts';
import { formatNumber } from '../../format.ts';

const SPACE = '\u00a0';

export const METHOD_WORDS: Readonly<Record<TimingMethod, string>> = {
  video: 'read from film',
  gate: 'gates',
  stopwatch: 'stopwatch',
};

/** Decimals of a section time, s: to the millisecond, in which gates and frame times are given. */
const TIME_DECIMALS = 3;

/** Such as `12.300 to 17.850 s, gates, ± 0.002 s (standard)`. */
export function sectionText({ startS, endS, method, uS }: SectionWord): string {
  const time = (timeS: number) => formatNumber(timeS, TIME_DECIMALS);
  return [
    `${time(startS)} to ${time(endS)}${SPACE}s`,
    method === null ? 'method not given' : METHOD_WORDS[method],
    uS === null ? 'uncertainty not given' : `±${SPACE}${uS}${SPACE}s (standard)`,
  ].join(', ');
}

/** Such as `left K-1, right K-2`. */
export function wornText({ worn }: BoardTrial): string {
  if (worn === null) return 'not noted';
  return HANDS.map((hand) => `${hand} ${worn[hand] ?? 'none'}`).join(', ');
}

/** The file of a number, by its name. */
export function fileName(view: DeckView, id: number): string {
  return view.files.find((file) => file.id === id)?.name ?? `file ${id}`;
}
