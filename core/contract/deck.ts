import type { Shown } from '../base/shown.ts';
import type { WatchView, DeckTrialView, FileView, ReadyItem } from '../deck/views.ts';
import type { ProtocolContent } from '../protocol/content.ts';
import type { DeckPlan, DeckBoard } from '../deck/deck.ts';
import type { KnownPressureReport } from '../deck/knownpressure.ts';
import type { ArrivalReport } from '../arrival/report.ts';
import type { DryRunReport } from '../deck/dryrun.ts';
import type { EvidenceFault } from './views.ts';

/** What changes by itself while a day is run: asked for often, so small. */
export interface DeckPulse {
  /** Changes whenever `deck.get` would answer otherwise. */
  readonly version: string;
  readonly watch: WatchView;
}

export interface DeckView {
  readonly id: number;
  readonly day: string;
  readonly protocol: {
    readonly protocol: string;
    readonly version: number;
    readonly content: ProtocolContent;
  };
  /** Swimmers who withdrew carry nothing but their code and consents. */
  readonly plan: Shown<DeckPlan>;
  /** Runs of swimmers who do not consent are left out. */
  readonly board: Shown<DeckBoard>;
  /** Codes of the runs that are on now, next and after that; null where there is none. */
  readonly now: string | null;
  readonly next: string | null;
  readonly after: string | null;
  /** Until when a swimmer rests, by participant, ms since 1970; absent where rested. */
  readonly restUntilMs: Readonly<Record<string, number>>;
  /** One for every run on the board, in its order. */
  readonly trials: readonly DeckTrialView[];
  readonly files: readonly FileView[];
  readonly ready: readonly ReadyItem[];
  readonly watch: WatchView;
  readonly knownPressures: readonly KnownPressureReport[];
  readonly version: string;
  readonly canUndo: boolean;
  readonly canRedo: boolean;
}

/** Everything found on a trial's arrival, with what it was found on. */
export interface DeckArrivalView {
  readonly trial: string;
  readonly report: ArrivalReport;
}

export interface DryRunView {
  readonly trace: number | null;
  readonly films: readonly { readonly camera: string; readonly file: number }[];
  readonly report: DryRunReport | null;
  /** Its files that are no longer what came: nothing is shown of them. */
  readonly evidence: readonly EvidenceFault[];
}
