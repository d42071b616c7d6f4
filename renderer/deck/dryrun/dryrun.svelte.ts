/** The dry run on the screen: what came of it, asked again when its files change, and confirming it. */
import { untrack } from 'svelte';

import { DRY_RUN } from '../../../core/deck/deck.ts';
import { meetClocks, type ClockMeeting } from '../../../core/deck/dryrun.ts';
import type { DryRunView } from '../../../core/contract/deck.ts';
import { Loaded } from '../../loaded.svelte.ts';
import type { DeckDesk } from '../deckdesk.svelte.ts';
import { FlashReader } from './flashreader.svelte.ts';
import { dryRunSays } from './drywords.ts';

export class DryRunDesk {
  readonly deck: DeckDesk;
  readonly loaded = new Loaded<DryRunView>();
  #camera = $state<string | null>(null);
  #initials = $state<string | null>(null);
  #typed = $state<string | null>(null);

  /** The dry run's files and what is worn: what its report depends on. */
  readonly #asked = $derived.by(() => {
    const view = this.deck.value;
    if (view === null) return null;
    const files = view.files
      .filter(({ place }) => place?.trial === DRY_RUN)
      .map(({ id, place }) => [id, place]);
    return JSON.stringify([files, view.plan.worn, view.plan.setup.files]);
  });

  /** The film that is looked at: the chosen camera's, else the first; null without one. */
  readonly film = $derived.by(() => {
    const films = this.value?.films ?? [];
    return films.find(({ camera }) => camera === this.#camera) ?? films[0] ?? null;
  });
  readonly #filmKey = $derived.by(() => (this.film === null ? null : JSON.stringify(this.film)));
  /** Looks for flashes in that film; a new one for every film. */
  readonly flashes = $derived.by(() => {
    const film = this.#filmKey === null ? null : untrack(() => this.film);
    if (film === null) return null;
    const planned = untrack(() => this.deck.value)?.protocol.content.cameras;
    const rateHz = planned?.find(({ camera }) => camera === film.camera)?.frameRateHz ?? null;
    return new FlashReader(this.deck.id, film.camera, rateHz);
  });

  /** To be made while a component is set up. */
  constructor(deck: DeckDesk) {
    this.deck = deck;
    $effect(() => {
      const asked = this.#asked;
      untrack(() => {
        if (asked !== null) void this.loaded.take(deck.client('deck.dryRun', { day: deck.id }));
      });
    });
    $effect(() => {
      const { flashes } = this;
      return () => flashes?.cancel();
    });
  }

  get value(): DryRunView | null {
    return this.loaded.value;
  }

  chooseCamera(camera: string): void {
    this.#camera = camera;
  }

  /** Taps of both hands, s on the trace's clock, in the order of time. */
  get tapsS(): readonly number[] {
    const { left, right } = this.value?.report?.hands ?? {};
    return [...(left?.tapsS ?? []), ...(right?.tapsS ?? [])].toSorted((a, b) => a - b);
  }

  /** Whether the clocks of trace and film meet; null before the film was read, and without a trace. */
  get meeting(): ClockMeeting | null {
    const flashesS = this.flashes?.flashesS ?? null;
    if (flashesS === null || this.value?.report == null || this.deck.value === null) return null;
    const { rateHz } = this.deck.value.protocol.content;
    return meetClocks(this.tapsS, flashesS, { frameStepS: this.flashes!.stepS, sampleStepS: 1 / rateHz });
  }

  /** Who confirms: the person at work, until another is typed. */
  get initials(): string {
    return this.#initials ?? this.deck.desk.app.value?.operator ?? '';
  }

  set initials(initials: string) {
    this.#initials = initials;
  }

  /** What is confirmed: worked out from what was found, until a person writes it otherwise. */
  get says(): string {
    return this.#typed ?? dryRunSays(this.value?.report ?? null, this.meeting);
  }

  set says(says: string) {
    this.#typed = says;
  }

  async confirm(): Promise<boolean> {
    const act = { act: 'dry.confirm', initials: this.initials.trim(), says: this.says.trim() } as const;
    const taken = await this.deck.act(act, 'The dry run is confirmed.');
    if (taken) this.#typed = null;
    return taken;
  }
}
