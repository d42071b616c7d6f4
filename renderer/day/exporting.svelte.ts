/**
 * Writing a day with everything decided on it as a day folder: with which films, and what came.
 */
import type { FilmsToExport, LabClient } from '../../core/contract/contract.ts';
import type { LabError } from '../../core/base/refusal.ts';
import type { DeckView } from '../../core/contract/deck.ts';
import { counted } from '../format.ts';

/** The choice of films, in words. */
export const FILM_CHOICES: readonly {
  readonly films: FilmsToExport;
  readonly text: string;
  readonly says: string;
}[] = [
  {
    films: 'all',
    text: 'All films',
    says: 'For the lab itself: every film of a swimmer who consents to being filmed.',
  },
  {
    films: 'shareable',
    text: 'Films that may be shown to others',
    says: 'Only films of swimmers who consent to that. Where the roster does not say so, the film stays behind.',
  },
  {
    films: 'none',
    text: 'No film',
    says: 'Marks made on films go along, and the numbers that come of them.',
  },
];

/** A swimmer of whom there are films, and whether those may be used and shown. */
interface Filmed {
  readonly participant: string;
  readonly filming: boolean;
  readonly sharing: boolean;
}

/** The swimmers of a day run here of whom there are films. */
function filmedSwimmers({ plan, board, trials, files }: DeckView): readonly Filmed[] {
  const hidden = files.filter(({ state, place }) => state === 'hidden' && place?.as === 'film');
  const filmed = [
    ...trials.filter(({ films }) => films.length > 0).map(({ trial }) => trial),
    ...hidden.map(({ place }) => place!.trial),
  ];
  const codes = board.trials
    .filter(({ trial }) => filmed.includes(trial))
    .map(({ participant }) => participant);
  return plan.swimmers
    .filter(({ participant }) => codes.includes(participant))
    .map(({ participant, consents }) => ({
      participant,
      filming: consents.filming === 'given',
      sharing: consents.sharing === 'given',
    }));
}

export class DayExport {
  readonly #client: LabClient;
  readonly #day: number;
  films = $state<FilmsToExport>('all');
  #filmed = $state.raw<readonly Filmed[] | null>(null);
  #problem = $state.raw<LabError | null>(null);
  #wrote = $state<string | null>(null);
  #writing = $state(false);

  constructor(client: LabClient, day: number) {
    this.#client = client;
    this.#day = day;
  }

  /** Asks whose films there are; of a day folder opened here, its roster alone tells. */
  async findFilms(): Promise<void> {
    const day = await this.#client('days.get', { day: this.#day });
    if (!day.ok || !day.value.onDeck) return;
    const deck = await this.#client('deck.get', { day: this.#day });
    if (deck.ok) this.#filmed = filmedSwimmers(deck.value);
  }

  /** Whose films the choice leaves out; null where that is not known here. */
  leftOut(films: FilmsToExport): readonly string[] | null {
    const goesAlong = ({ filming, sharing }: Filmed) =>
      filming && (films === 'all' || (films === 'shareable' && sharing));
    return this.#filmed?.filter((one) => !goesAlong(one)).map(({ participant }) => participant) ?? null;
  }

  /** Why the day was not written. */
  get problem(): LabError | null {
    return this.#problem;
  }

  /** What was written, and where; null before. */
  get wrote(): string | null {
    return this.#wrote;
  }

  get writing(): boolean {
    return this.#writing;
  }

  /** Writes the day into a new folder. */
  async into(path: string): Promise<void> {
    if (this.#writing) return;
    this.#writing = true;
    this.#problem = null;
    this.#wrote = null;
    const outcome = await this.#client('days.export', { day: this.#day, path, films: this.films });
    this.#writing = false;
    if (outcome.ok) this.#wrote = `${counted(outcome.value.files, 'file')} written to ${outcome.value.path}.`;
    else this.#problem = outcome.error;
  }
}
