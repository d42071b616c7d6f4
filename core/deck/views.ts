/** What the screens of protocols and of a running testing day are given to show. */
import type { FileTarget } from './deck.ts';
import type { TrialVerdict } from '../trial/check.ts';
import type { SectionWord } from '../marking/words.ts';

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
  readonly place: FileTarget | null;
  /** Who said where it belongs: its name, or a person. */
  readonly by: 'name' | 'person' | null;
  /** Where it may belong, the likeliest first. */
  readonly offers: readonly FileTarget[];
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

/** A trial of the board with what came of it. */
export interface DeckTrialView {
  readonly trial: string;
  readonly trace: number | null;
  readonly films: readonly { readonly camera: string; readonly file: number }[];
  /** The report on arrival; null before its trace or film is here. */
  readonly report: { readonly verdict: TrialVerdict; readonly says: string } | null;
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
  /** What the last check of the whole lab folder found; null before any. */
  readonly lastVerification: { readonly says: string; readonly sound: boolean; readonly at: string } | null;
}
