/** What the screens of protocols and of a running testing day are given to show. */
import type { ArrivalCheck } from './arrivalcheck.ts';
import type { CheckVerdict } from './trialcheck.ts';
import type { DryRunReport } from './dryrun.ts';
import type { DeckBoard, DeckPlan, DeckSwimmer, FilePlace } from './deck.ts';
import type { ProtocolContent } from './protocolcontent.ts';
import type { ProtocolChange } from './protocolchange.ts';
import type { SectionWord } from './reviewviews.ts';
import type { SensorDayCheck } from './checkreading.ts';

/** A protocol in the lab's list. */
export interface ProtocolSummary {
  readonly protocol: string;
  readonly name: string;
  /** The newest version; null where only a draft is there. */
  readonly version: number | null;
  readonly keptAt: string | null;
  readonly hasDraft: boolean;
  /** Codes of the days run with it. */
  readonly days: readonly string[];
}

export interface ProtocolVersion {
  readonly version: number;
  readonly content: ProtocolContent;
  /** ISO 8601 instant. */
  readonly at: string;
  readonly who: string;
  /** What it changed against the version before; empty for the first. */
  readonly changes: readonly ProtocolChange[];
  readonly days: readonly string[];
}

export interface ProtocolView {
  readonly protocol: string;
  /** Newest first. */
  readonly versions: readonly ProtocolVersion[];
  /** The version being made; null where none is. */
  readonly draft: ProtocolContent | null;
}

/** A file that came into the watched folder. */
export interface FileView {
  readonly id: number;
  readonly name: string;
  readonly bytes: number;
  /** ISO 8601 instant at which it was taken. */
  readonly at: string;
  readonly kind: 'trace' | 'film' | 'other';
  /**
   * `placed`: belongs to a trial; `offered`: nobody knows yet whose it is; `twice`: its content came before;
   * `unreadable`: kept aside with a reason; `aside`: a person set it aside; `hidden`: its swimmer does not consent.
   */
  readonly state: 'placed' | 'offered' | 'twice' | 'unreadable' | 'aside' | 'hidden';
  readonly place: FilePlace | null;
  /** Who said where it belongs: its name, or a person. */
  readonly by: 'name' | 'person' | null;
  /** Where it may belong, the likeliest first. */
  readonly offers: readonly FilePlace[];
  /** One sentence, for every state but a plain `placed`. */
  readonly says: string;
}

/** A file on its way in. */
export interface ArrivingFile {
  readonly name: string;
  readonly bytes: number;
  /** Bytes copied so far; null while it still grows. */
  readonly copied: number | null;
  readonly state: 'growing' | 'copying' | 'waiting' | 'stopped';
  /** Why it waits or was stopped; empty otherwise. */
  readonly says: string;
}

export interface WatchView {
  /** Null where no folder is watched. */
  readonly folder: string | null;
  readonly state: 'off' | 'watching' | 'gone';
  /** One sentence about the folder, such as that it cannot be reached. */
  readonly says: string;
  readonly arriving: readonly ArrivingFile[];
}

/** What changes by itself while a day is run: asked for often, so small. */
export interface DeckPulse {
  /** Changes whenever `deck.get` would answer otherwise. */
  readonly version: string;
  readonly watch: WatchView;
}

/** A run of the board with what came of it. */
export interface DeckTrialView {
  readonly trial: string;
  readonly trace: number | null;
  readonly films: readonly { readonly camera: string; readonly file: number }[];
  /** The check on arrival; null before its trace or film is here. */
  readonly check: { readonly verdict: CheckVerdict; readonly says: string } | null;
  readonly section: SectionWord | null;
  /** True where each sensor's zero before and after was confirmed. */
  readonly zerosRead: boolean;
}

/** Something that must be done before the first trial may begin. */
export interface ReadyItem {
  readonly what: 'swimmers' | 'consent' | 'sensors' | 'checklist' | 'order' | 'dry_run' | 'watch';
  readonly done: boolean;
  /** False where it is advice only. */
  readonly needed: boolean;
  readonly says: string;
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
  readonly plan: DeckPlan;
  /** Runs of swimmers who do not consent are left out. */
  readonly board: DeckBoard;
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
  readonly sensorChecks: readonly SensorDayCheck[];
  readonly version: string;
  readonly canUndo: boolean;
  readonly canRedo: boolean;
}

/** Everything found on a trial's arrival, with what it was found on. */
export interface DeckCheckView {
  readonly trial: string;
  readonly check: ArrivalCheck;
}

export interface DryRunView {
  readonly trace: number | null;
  readonly films: readonly { readonly camera: string; readonly file: number }[];
  readonly report: DryRunReport | null;
}

/** What is missing when the day is closed. */
export interface CloseView {
  readonly counts: {
    readonly planned: number;
    readonly swum: number;
    readonly kept: number;
    readonly again: number;
    readonly skipped: number;
    readonly withdrawn: number;
  };
  /** Sentences, each about one thing that is missing or unanswered, and where to mend it. */
  readonly missing: readonly { readonly says: string; readonly trial: string | null }[];
  readonly lastBackup: { readonly says: string; readonly at: string } | null;
}

/** A table of a person's file, being matched to what a roster or a list of section times needs. */
export interface MatchView<T> {
  readonly columns: readonly string[];
  /** Which column gives which field; a field without one is absent. */
  readonly matching: Readonly<Record<string, string>>;
  readonly fields: readonly { readonly field: string; readonly needed: boolean; readonly says: string }[];
  readonly rows: readonly {
    readonly line: number;
    readonly value: T | null;
    readonly problems: readonly string[];
  }[];
}
export type RosterMatch = MatchView<DeckSwimmer>;
export type SectionMatch = MatchView<{ readonly trial: string; readonly section: SectionWord }>;

/** Address of a kept version of a protocol as JSON, or of the schema it follows. */
export function protocolPath(protocol: string, version: number): string {
  return `/protocol/${protocol}/${version}.json`;
}
export const PROTOCOL_SCHEMA_PATH = '/protocol-schema.json';

/** Address of the day's log, or of the deck sheets to print. */
export function dayPagePath(day: number, page: 'log' | 'sheets', kind: 'html' | 'pdf'): string {
  return `/page/${day}/${page}.${kind}`;
}
