/**
 * Watched folders, one for each running day. They are looked at again and again, since a network share tells nobody
 * of a change; what has been still long enough is taken. What was chosen and what was taken is in the lab folder, so
 * that a watch goes on where it was.
 */
import { sayBug } from '../kept/saybug.ts';
import { realpath } from 'node:fs/promises';
import type { LabError } from '../../../core/base/refusal.ts';
import type { WatchView } from '../../../core/deck/views.ts';
import { done, failed, type Outcome } from '../../../core/base/refusal.ts';
import { allowedFolder, isWithin } from '../kept/places.ts';
import type { Session } from '../kept/session.ts';
import { takeFile, type Readable } from './watchcopy.ts';
import { DayWatch, keepWatch, keptWatch, type Tracked, type Withheld } from './watchday.ts';

interface WatchOptions {
  /** Between two looks at a folder, ms. */
  readonly pollMs?: number;
  /** How long a file must have been still, ms. */
  readonly quietMs?: number;
  /** Until a file that could not be taken is tried again for the first time, ms; the wait doubles up to a minute. */
  readonly retryMs?: number;
  readonly withheld?: Withheld;
  /** Told of a fault of the program; the person hears of it beside the file or the folder that it hit. */
  readonly onBug?: (error: unknown) => void;
}

interface Watched {
  readonly watch: DayWatch;
  timer: NodeJS.Timeout | null;
}

/** One file is copied at a time, and beside it one trace: those are small, and the check on deck waits for them. */
type Lane = 'traces' | 'others';
const KINDS = ['trace', 'film', 'other'] as const;

const OFF: WatchView = { folder: null, state: 'off', says: '', arriving: [] };

export class Watches {
  private readonly session: Session;
  private readonly readable: Readable;
  private readonly options: Required<WatchOptions>;
  private readonly days = new Map<number, Watched>();
  private readonly busy = new Set<Lane>();
  private readonly running = new Set<Promise<void>>();
  private readonly versions = new Map<number, { readonly number: number; readonly seen: string }>();
  /** Numbers of versions go on from here, so that those of an earlier start do not come back. */
  private readonly firstVersion = Date.now();
  private closed = false;

  constructor(session: Session, readable: Readable, options: WatchOptions = {}) {
    this.session = session;
    this.readable = readable;
    this.options = {
      pollMs: 700,
      quietMs: 2000,
      retryMs: 2000,
      withheld: () => () => false,
      onBug: sayBug,
      ...options,
    };
  }

  /** Goes on with every watch that was on when the program ended. */
  resume(): void {
    for (const { day } of this.session.store.deckDays()) {
      const { folder } = keptWatch(this.session, day);
      if (folder !== null) this.begin(day, folder);
    }
  }

  /** Watches a folder for a day that is run here; null stops. */
  async watch(day: number, folder: string | null): Promise<Outcome<null, LabError>> {
    const chosen = folder === null ? done(null) : await this.choose(day, folder);
    if (!chosen.ok) return chosen;
    const already = this.days.get(day)?.watch.folder ?? null;
    if (this.closed || already === chosen.value) return done(null);
    const kept = keepWatch(this.session, day, { folder: chosen.value, taking: [] });
    if (!kept.ok) return kept;
    this.end(day);
    if (chosen.value !== null) this.begin(day, chosen.value);
    this.touch(day);
    return done(null);
  }

  private async choose(day: number, folder: string): Promise<Outcome<string, LabError>> {
    const allowed = await allowedFolder(this.session, folder);
    if (!allowed.ok) return allowed;
    const { store } = this.session;
    if (isWithin(allowed.value, await realpath(store.folder)))
      return failed({
        code: 'bad_input',
        says: `${folder} is the lab folder or lies in it; what is kept there would come in again.`,
        todo: 'Choose the folder that the acquisition computer writes to.',
      });
    for (const [other, { watch }] of this.days)
      if (other !== day && (isWithin(watch.folder, allowed.value) || isWithin(allowed.value, watch.folder)))
        return failed({
          code: 'bad_input',
          says: `The day ${store.getDay(other)?.day ?? other} watches ${watch.folder}; its files would come to both days.`,
          todo: 'End the watch of that day first, or choose a folder of this day’s own.',
        });
    return allowed;
  }

  view(day: number): WatchView {
    return this.days.get(day)?.watch.view() ?? OFF;
  }

  /** Another number whenever a file was taken or the list of arriving files changed, apart from how far they are. */
  version(day: number): number {
    return this.versions.get(day)?.number ?? this.firstVersion;
  }

  /** Stops the taking of a file until {@link take} asks for it. */
  stop(day: number, name: string): Outcome<null, LabError> {
    return this.tell(day, (watch) => watch.stop(name));
  }

  /** Lets a stopped file be taken after all, or an unreadable one be read again. */
  take(day: number, name: string): Outcome<null, LabError> {
    return this.tell(day, (watch) => watch.take(name));
  }

  private tell(day: number, word: (watch: DayWatch) => Outcome<null, LabError>): Outcome<null, LabError> {
    const watched = this.days.get(day);
    if (watched === undefined)
      return failed({
        code: 'not_found',
        says: 'No folder is watched for this day.',
        todo: 'Choose the folder that the acquisition computer writes to.',
      });
    const told = word(watched.watch);
    this.touch(day);
    return told;
  }

  /** Stops everything and waits until it has stopped; what was chosen stays, for the next start. */
  async close(): Promise<void> {
    this.closed = true;
    for (const day of [...this.days.keys()]) this.end(day);
    await Promise.all(this.running);
  }

  private begin(day: number, folder: string): void {
    const { quietMs, withheld } = this.options;
    const watch = new DayWatch(this.session, day, folder, quietMs, withheld);
    const watched: Watched = { watch, timer: null };
    this.days.set(day, watched);
    this.keepRunning(this.look(watched));
  }

  private end(day: number): void {
    const watched = this.days.get(day);
    if (watched === undefined) return;
    if (watched.timer !== null) clearTimeout(watched.timer);
    watched.watch.end();
    this.days.delete(day);
  }

  private keepRunning(work: Promise<void>): void {
    const running = work.finally(() => this.running.delete(running));
    this.running.add(running);
  }

  private async look(watched: Watched): Promise<void> {
    const { watch } = watched;
    try {
      await watch.look();
    } catch (error) {
      watch.broke(bugSentence(error));
      this.touch(watch.day);
      this.options.onBug(error);
      return;
    }
    if (this.days.get(watch.day) !== watched) return;
    this.touch(watch.day);
    this.takeNext();
    watched.timer = setTimeout(() => this.keepRunning(this.look(watched)), this.options.pollMs);
    watched.timer.unref();
  }

  /** Begins with the next file of each lane that is free: traces, then films, each in the order of coming. */
  private takeNext(): void {
    const waiting = [...this.days.values()]
      .flatMap(({ watch }) => watch.ready().map((file) => ({ watch, file })))
      .toSorted((a, b) => urgency(a.file, b.file));
    for (const { watch, file } of waiting) {
      const lane = laneOf(file);
      if (this.busy.has(lane)) continue;
      this.busy.add(lane);
      this.keepRunning(this.copy(watch, file, lane));
    }
  }

  private async copy(watch: DayWatch, file: Tracked, lane: Lane): Promise<void> {
    const stop = new AbortController();
    const copying = { stop, bytes: 0 };
    file.copying = copying;
    this.touch(watch.day);
    const { day, folder } = watch;
    const { seen, kind } = file;
    try {
      const taken = await takeFile(
        this.session,
        this.readable,
        { day, folder, seen, kind },
        stop.signal,
        (bytes) => (copying.bytes = bytes),
      );
      if (!taken.ok) watch.failed(file, taken.error, this.options.retryMs);
      else if (taken.value === 'taken') watch.taken(file);
      else watch.changed(file);
    } catch (error) {
      if (error !== stop.signal.reason) {
        watch.brokeOn(file, bugSentence(error));
        this.options.onBug(error);
      }
    } finally {
      file.copying = null;
      this.busy.delete(lane);
      this.touch(day);
      this.takeNext();
    }
  }

  private touch(day: number): void {
    const seen = this.days.get(day)?.watch.mark() ?? '';
    const before = this.versions.get(day);
    if (before?.seen !== seen)
      this.versions.set(day, { number: (before?.number ?? this.firstVersion) + 1, seen });
  }
}

function laneOf({ kind }: Tracked): Lane {
  return kind === 'trace' ? 'traces' : 'others';
}

function urgency(a: Tracked, b: Tracked): number {
  return KINDS.indexOf(a.kind) - KINDS.indexOf(b.kind) || a.since - b.since || a.seen.bytes - b.seen.bytes;
}

function bugSentence(error: unknown): string {
  return `The program met a fault of its own: ${error instanceof Error ? error.message : String(error)}.`;
}
