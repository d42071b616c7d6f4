/** The watched folder of one day: what lies there, what of it has been still long enough, what comes of each file. */
import type { LabError } from '../../../core/base/refusal.ts';
import { kindOf } from '../../../core/arrival/names.ts';
import type { ArrivingFile, WatchView } from '../../../core/deck/views.ts';
import { done, failed, type Outcome } from '../../../core/base/refusal.ts';
import type { ArrivalToAdd, KeptArrival } from '../../store/arrivals.ts';
import { attemptAsync } from '../../store/errors.ts';
import { allowedFolder } from '../kept/places.ts';
import { now, operatorOf, storeFault, type Session } from '../kept/session.ts';
import { WATCH_SHAPE } from '../shapes/settings.ts';
import { KeptFault, readText } from '../shapes/shape.ts';
import { modifiedOf, rowOf } from './watchcopy.ts';
import { isSame, listFiles, type Seen } from './watchlisting.ts';

/** Tells whether a name is of a swimmer who does not consent: such a file stays where it is. */
export type Withheld = (day: number) => (name: string) => boolean;

/** How long a file must have been still, and for how many looks, before it is taken. */
const STILL_LOOKS = 2;
/** A file that could not be taken is tried again after a while that doubles up to this, ms. */
const LONGEST_WAIT_MS = 60_000;

/** A file of the folder that has not been taken. */
export interface Tracked {
  readonly kind: ArrivalToAdd['kind'];
  /** The number of the look at which it was first there. */
  readonly since: number;
  seen: Seen;
  stillSinceMs: number;
  looks: number;
  /** Set while it is being copied. */
  copying: { readonly stop: AbortController; bytes: number } | null;
  stopped: boolean;
  withheld: boolean;
  /** Why it could not be taken, and when it is tried again, ms; `Infinity` where only another content helps. */
  fault: string;
  faults: number;
  againAtMs: number;
}

export interface Kept {
  readonly folder: string | null;
  readonly taking: readonly string[];
}

const OFF: Kept = { folder: null, taking: [] };

const settingOf = (day: number) => `watch.${day}`;

/** What was last set for a day. */
export function keptWatch({ store }: Session, day: number): Kept {
  const saved = store.getSetting(settingOf(day));
  if (saved === null) return OFF;
  try {
    return readText(WATCH_SHAPE, saved.text, `day ${day}`);
  } catch (caught) {
    // What was watched cannot be read: the day goes on without, and a person chooses the folder again.
    if (caught instanceof KeptFault) return OFF;
    throw caught;
  }
}

export function keepWatch(session: Session, day: number, watch: Kept): Outcome<null, LabError> {
  const text = JSON.stringify(watch);
  const saved = session.store.setSetting(settingOf(day), text, operatorOf(session), now());
  return saved.ok ? saved : storeFault(saved.error);
}

export class DayWatch {
  readonly day: number;
  /** Real path. */
  readonly folder: string;
  private readonly session: Session;
  private readonly quietMs: number;
  private readonly withheld: Withheld;
  private readonly tracked = new Map<string, Tracked>();
  /** Names of all files that lie there, taken or not. */
  private here: ReadonlySet<string> = new Set();
  /** Stopped or unreadable files that a person wants taken after all; kept, so that a restart knows. */
  private taking: readonly string[];
  private state: 'watching' | 'gone' = 'watching';
  private says = '';
  private looks = 0;
  private came = 0;
  private over = false;

  constructor(session: Session, day: number, folder: string, quietMs: number, withheld: Withheld) {
    this.session = session;
    this.day = day;
    this.folder = folder;
    this.quietMs = quietMs;
    this.withheld = withheld;
    this.taking = keptWatch(session, day).taking;
  }

  view(): WatchView {
    let hidden = 0;
    const arriving = [...this.tracked.values()].map((file): ArrivingFile => {
      const { name, bytes } = file.seen;
      if (!file.withheld) return { name, bytes, ...this.stateOf(file) };
      hidden += 1;
      const says = 'It is left where it is: its swimmer does not consent.';
      return { name: `withheld file ${hidden}`, bytes, copied: null, state: 'waiting', says };
    });
    return { folder: this.folder, state: this.state, says: this.says, arriving };
  }

  /** Another text whenever the view changed, apart from how far files are, or a file was taken. */
  mark(): string {
    const { state, says, folder, arriving } = this.view();
    const files = arriving.map((file) => [file.name, file.state, file.says]);
    return JSON.stringify([state, says, folder, files, this.came]);
  }

  private stateOf(file: Tracked): Pick<ArrivingFile, 'state' | 'copied' | 'says'> {
    if (file.stopped) return { state: 'stopped', copied: null, says: STOPPED };
    if (file.copying !== null) return { state: 'copying', copied: file.copying.bytes, says: '' };
    if (file.fault !== '') return { state: 'waiting', copied: null, says: file.fault };
    if (this.isStill(file)) return { state: 'waiting', copied: null, says: 'It waits for its turn.' };
    return { state: 'growing', copied: null, says: file.seen.bytes === 0 ? 'It is empty so far.' : '' };
  }

  /** Files that may be taken now. */
  ready(): readonly Tracked[] {
    const nowMs = performance.now();
    return [...this.tracked.values()].filter(
      (file) =>
        file.copying === null &&
        !file.stopped &&
        !file.withheld &&
        this.isStill(file) &&
        nowMs >= file.againAtMs,
    );
  }

  private isStill({ seen, looks, stillSinceMs }: Tracked): boolean {
    return seen.bytes > 0 && looks >= STILL_LOOKS && performance.now() - stillSinceMs >= this.quietMs;
  }

  /** Looks at the folder once. */
  async look(): Promise<void> {
    const looked = await attemptAsync(this.session.store.folder, async () => {
      const allowed = await allowedFolder(this.session, this.folder);
      if (this.over) return;
      const listing = allowed.ok && allowed.value === this.folder ? await listFiles(this.folder) : null;
      if (this.over) return;
      if (listing === null) return this.goneFor(allowed.ok ? null : allowed.error);
      this.state = 'watching';
      this.says = listing.says;
      this.update(listing.files);
    });
    if (!looked.ok) this.says = `${looked.error.says} ${looked.error.todo}`;
  }

  private goneFor(error: LabError | null): void {
    this.state = 'gone';
    this.says =
      error?.code === 'place_not_allowed'
        ? `${error.says} ${error.todo}`
        : `The folder ${this.folder} cannot be reached. It goes on by itself once the drive or network is back.`;
    this.forgetAllBut(new Set());
    this.here = new Set();
  }

  /** The program itself failed while looking: nothing is looked at any more. */
  broke(says: string): void {
    this.state = 'gone';
    this.says = says;
  }

  private forgetAllBut(names: ReadonlySet<string>): void {
    for (const [name, file] of this.tracked)
      if (!names.has(name) && file.copying === null) this.tracked.delete(name);
  }

  private update(files: readonly Seen[]): void {
    this.looks += 1;
    const all = this.session.store.arrivals(this.day);
    this.came = all.length;
    const rows = Map.groupBy(all, ({ name }) => name);
    this.here = new Set(files.map(({ name }) => name));
    const waiting = files.filter((seen) => !this.isKnown(seen, rows.get(seen.name) ?? []));
    const isWithheld = waiting.length === 0 ? () => false : this.withheld(this.day);
    this.forgetAllBut(new Set(waiting.map(({ name }) => name)));
    for (const seen of waiting) {
      const file = this.track(seen);
      file.stopped = isStopped(rows.get(seen.name)) && !this.taking.includes(seen.name);
      file.withheld = isWithheld(seen.name);
      if (file.withheld) file.copying?.stop.abort();
    }
  }

  /** True where a file came already, as it is now. */
  private isKnown(seen: Seen, rows: readonly KeptArrival[]): boolean {
    if (isStopped(rows)) return false;
    const again = this.taking.includes(seen.name);
    const modified = modifiedOf(seen);
    return rows.some(
      (row) =>
        row.bytes === seen.bytes &&
        row.modified === modified &&
        row.outcome !== 'stopped' &&
        !(again && row.outcome === 'unreadable'),
    );
  }

  private track(seen: Seen): Tracked {
    const nowMs = performance.now();
    const known = this.tracked.get(seen.name);
    if (known !== undefined && isSame(known.seen, seen)) {
      known.looks += 1;
      return known;
    }
    const afresh = { seen, stillSinceMs: nowMs, looks: 0, fault: '', faults: 0, againAtMs: 0 };
    if (known !== undefined) return Object.assign(known, afresh);
    const file: Tracked = {
      kind: kindOf(seen.name),
      since: this.looks,
      copying: null,
      stopped: false,
      withheld: false,
      ...afresh,
    };
    this.tracked.set(seen.name, file);
    return file;
  }

  /** A file was recorded: it no longer arrives. */
  taken(file: Tracked): void {
    const { name } = file.seen;
    this.came += 1;
    if (this.tracked.get(name) === file) this.tracked.delete(name);
    if (this.taking.includes(name)) this.keepTaking(this.taking.filter((one) => one !== name));
  }

  /** A file was written to while it was copied: it must be still once more. */
  changed(file: Tracked): void {
    file.looks = 0;
    file.stillSinceMs = performance.now();
  }

  /** The program itself failed on a file: that is not tried again before the file changes. */
  brokeOn(file: Tracked, says: string): void {
    file.fault = says;
    file.againAtMs = Infinity;
  }

  /** Gives up what is being copied; nobody watches any more. */
  end(): void {
    this.over = true;
    for (const { copying } of this.tracked.values()) copying?.stop.abort();
  }

  /** A file could not be taken; it is tried again after a while. */
  failed(file: Tracked, says: string, firstWaitMs: number): void {
    file.fault = says;
    file.againAtMs = performance.now() + Math.min(firstWaitMs * 2 ** file.faults, LONGEST_WAIT_MS);
    file.faults += 1;
  }

  /** A person wants a file left out. */
  stop(name: string): Outcome<null, LabError> {
    const file = this.tracked.get(name);
    if (file === undefined || file.withheld) return this.notHere(name);
    if (file.stopped) return done(null);
    const untaken = this.keepTaking(this.taking.filter((one) => one !== name));
    if (!untaken.ok) return untaken;
    const row = rowOf(this.session, { day: this.day, seen: file.seen, kind: file.kind });
    const added = this.session.store.addArrival({
      ...row,
      sha256: null,
      outcome: 'stopped',
      reason: STOPPED,
      continues: null,
    });
    if (!added.ok) return storeFault(added.error);
    file.stopped = true;
    file.copying?.stop.abort();
    return done(null);
  }

  /** A person wants a stopped or unreadable file taken after all. */
  take(name: string): Outcome<null, LabError> {
    const last = this.session.store.arrivals(this.day).findLast((row) => row.name === name)?.outcome;
    if (!this.here.has(name)) return this.notHere(name);
    if (last !== 'stopped' && last !== 'unreadable') return done(null);
    const kept = this.keepTaking([...new Set([...this.taking, name])]);
    const file = this.tracked.get(name);
    if (kept.ok && file !== undefined) file.stopped = false;
    return kept;
  }

  private keepTaking(taking: readonly string[]): Outcome<null, LabError> {
    if (this.over || taking.length === this.taking.length) return done(null);
    const saved = keepWatch(this.session, this.day, { folder: this.folder, taking: [...taking] });
    if (saved.ok) this.taking = taking;
    return saved;
  }

  private notHere(name: string): Outcome<null, LabError> {
    return failed({
      code: 'not_found',
      says: `The file ${name} is not in the watched folder, or is taken already.`,
      todo: 'Look at the list of files as it is now.',
    });
  }
}

const STOPPED = 'A person stopped its copying.';

/** True where the last thing said of a name is that it is not to be taken. */
function isStopped(rows: readonly KeptArrival[] | undefined): boolean {
  return rows?.at(-1)?.outcome === 'stopped';
}
