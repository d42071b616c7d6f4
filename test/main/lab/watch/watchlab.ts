/** A lab with a day that is run here, and a folder that its files come into. */
import { mkdirSync, statSync, writeFileSync } from 'node:fs';
import { homedir } from 'node:os';
import { dirname, join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { expect, onTestFinished } from 'vitest';
import type { ArrivingFile } from '../../../../core/deck/views.ts';
import { allowPlace, forbidPlace } from '../../../../main/lab/kept/places.ts';
import type { Session } from '../../../../main/lab/kept/session.ts';
import { Watches } from '../../../../main/lab/watch/watch.ts';
import type { Readable } from '../../../../main/lab/watch/watchcopy.ts';
import type { KeptArrival } from '../../../../main/store/arrivals.ts';
import { openStore } from '../../../../main/store/store.ts';
import { tempFolder } from '../../files/day-builder.ts';
import { valueOf } from '../support.ts';

const AT = '2026-03-02T09:30:00.000Z';
export const QUICK = { pollMs: 15, quietMs: 60, retryMs: 30 };
type Options = NonNullable<ConstructorParameters<typeof Watches>[2]>;

const READABLE: Readable = () => Promise.resolve(null);

export interface WatchLab {
  /** Holds `lab` and `in`. */
  readonly root: string;
  readonly folder: string;
  readonly day: number;
  readonly session: Session;
  readonly watches: Watches;
  readonly rows: () => readonly KeptArrival[];
  readonly arriving: (name: string) => ArrivingFile | null;
  readonly put: (name: string, text: string | Uint8Array) => string;
  /** Waits until something holds; fails with what was seen last. */
  readonly until: (holds: () => boolean) => Promise<void>;
  /** Waits until so many files were recorded, and longer: nothing more may come. */
  readonly came: (count: number) => Promise<readonly KeptArrival[]>;
  readonly close: () => Promise<void>;
}

/** Opens the lab in `root/lab`, begins the day where it is new, allows `root`. */
export async function openSession(root: string): Promise<Session & { readonly day: number }> {
  const opened = openStore(join(root, 'lab'));
  if (!opened.ok) throw new Error(opened.error.says);
  const store = opened.value;
  const session: Session = { store, version: '1.2.3', sampleFolder: null };
  return { ...session, day: store.deckDays()[0]?.day ?? (await firstDay(session, root)) };
}

async function firstDay(session: Session, root: string): Promise<number> {
  valueOf(await forbidPlace(session, homedir()));
  valueOf(await allowPlace(session, root));
  const kept = { protocol: 'sprint', version: 1, content: {}, at: AT, who: 'AB' };
  session.store.addProtocolVersion(kept);
  return beginDay(session, 'D1');
}

export function beginDay({ store }: Session, day: string): number {
  const begun = { day, date: null, venue: null, source: '', files: [], at: AT, who: 'AB' };
  const id = store.beginDeckDay(begun, { protocol: 'sprint', version: 1, setup: {} });
  if (!id.ok) throw new Error(id.error.says);
  return id.value;
}

interface Wishes {
  readonly root?: string;
  readonly readable?: Readable;
  readonly options?: Options;
  /** Changes what the watch is given of the store. */
  readonly store?: (store: Session['store']) => Partial<Session['store']>;
}

/** A lab whose watches are made and resumed; `watch` begins with the folder. */
export async function watchLab(wishes: Wishes = {}): Promise<WatchLab> {
  const root = wishes.root ?? (await tempFolder());
  const folder = join(root, 'in');
  mkdirSync(folder, { recursive: true });
  const { day, ...opened } = await openSession(root);
  const { store } = opened;
  const session = { ...opened, store: { ...store, ...wishes.store?.(store) } };
  const watches = new Watches(session, wishes.readable ?? READABLE, { ...QUICK, ...wishes.options });
  let isOpen = true;
  const close = async () => {
    if (!isOpen) return;
    isOpen = false;
    await watches.close();
    store.close();
  };
  onTestFinished(close);
  watches.resume();
  const rows = () => store.arrivals(day);
  const until = async (holds: () => boolean) => {
    const began = performance.now();
    while (!holds()) {
      if (performance.now() - began > 15_000)
        throw new Error(`Never came: ${JSON.stringify([watches.view(day), rows()], null, 1)}`);
      await wait(3);
    }
  };
  return {
    root,
    folder,
    day,
    session,
    watches,
    rows,
    arriving: (name) => watches.view(day).arriving.find((file) => file.name === name) ?? null,
    put: (name, text) => {
      const path = join(folder, name);
      mkdirSync(dirname(path), { recursive: true });
      writeFileSync(path, text);
      return path;
    },
    until,
    came: async (count) => {
      await until(() => rows().length >= count);
      await wait(QUICK.quietMs + 6 * QUICK.pollMs);
      expect(rows()).toHaveLength(count);
      return rows();
    },
    close,
  };
}

/** The length of a content in the lab folder. */
export function rawBytes({ session }: Pick<WatchLab, 'session'>, sha256: string): number {
  return statSync(session.store.rawPath(sha256)).size;
}
