/** Which part of a trial is shown under film and trace: it stays from trial to trial, while marking one of its own. */
export const TRIAL_TABS = [
  { id: 'marks', text: 'Marks' },
  { id: 'strokes', text: 'Strokes' },
  { id: 'curves', text: 'Curves' },
  { id: 'clocks', text: 'Clocks' },
  { id: 'numbers', text: 'All numbers' },
  { id: 'budget', text: 'Uncertainty' },
  { id: 'sources', text: 'Files' },
] as const;
export type TrialTab = (typeof TRIAL_TABS)[number]['id'];

const KEPT = 'lanebench.trial-part';

export class TrialTabs {
  readonly #marking: () => boolean;
  #looking = $state<TrialTab>(
    TRIAL_TABS.find(({ id }) => id === localStorage.getItem(KEPT))?.id ?? 'strokes',
  );
  #whileMarking = $state<TrialTab>('marks');
  #opened = $state.raw<readonly TrialTab[]>([]);

  readonly tabs = $derived.by(() => TRIAL_TABS.filter(({ id }) => id !== 'marks' || this.#marking()));

  /** @param marking whether the trial is being marked: only then its marks have a tab */
  constructor(marking: () => boolean) {
    this.#marking = marking;
  }

  get chosen(): TrialTab {
    if (this.#marking()) return this.#whileMarking;
    return this.#looking === 'marks' ? 'strokes' : this.#looking;
  }

  /** Whether a part was looked at: from then on it keeps what was done in it. */
  isOpen(id: TrialTab): boolean {
    return id === this.chosen || (this.#opened.includes(id) && this.tabs.some((tab) => tab.id === id));
  }

  choose(id: TrialTab): void {
    this.#opened = [...this.#opened, this.chosen, id];
    if (this.#marking()) {
      this.#whileMarking = id;
      return;
    }
    this.#looking = id;
    localStorage.setItem(KEPT, id);
  }
}
