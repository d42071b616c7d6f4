/**
 * The lab folder: one database and the raw files. All that is kept passes through here; time and person are always
 * given by the caller. Reading methods throw only for bugs and failing disks; writing ones give what a person can
 * cause, or the machine suffer, as a value.
 */
import type { Outcome } from '../../core/base/refusal.ts';
import { done } from '../../core/base/refusal.ts';
import { arrivalReading, arrivalWriting, type ArrivalReading, type ArrivalWriting } from './arrivals.ts';
import { backupTo, type Backup } from './backup.ts';
import { benchReading, benchWriting, type BenchReading, type BenchWriting } from './bench.ts';
import { dayReading, dayWriting, isNamed, lengthKnown, type DayReading, type DayWriting } from './days.ts';
import {
  decisionReading,
  decisionWriting,
  type DecisionReading,
  type DecisionWriting,
  type ShapeOf,
} from './decisions.ts';
import type { ReadableDb, WritableDb } from './database.ts';
import { attempt, type StoreError } from './errors.ts';
import { checkIntegrity, type Integrity } from './integrity.ts';
import { losses, missedActs, type Loss } from './chainhead.ts';
import { layoutOf, type Layout } from './layout.ts';
import { MIGRATIONS } from './migrations.ts';
import { openReadable, openWritable } from './open.ts';
import { protocolReading, protocolWriting, type ProtocolReading, type ProtocolWriting } from './protocols.ts';
import { quarantined } from './quarantine.ts';
import { rawReading, rawWriting, sweepIncoming, type RawReading, type RawWriting } from './raw.ts';
import { resultReading, resultWriting, type ResultReading, type ResultWriting } from './results.ts';
import { settingReading, settingWriting, type SettingReading, type SettingWriting } from './settings.ts';

export type { StoreError } from './errors.ts';

interface Upkeep {
  readonly folder: string;
  /** Copies everything, while in use, to a new or empty folder and reads the copy back. */
  readonly backupTo: (
    folder: string,
    signal?: AbortSignal,
    onFile?: (done: number, total: number) => void,
  ) => Promise<Outcome<Backup, StoreError>>;
  readonly checkIntegrity: (signal?: AbortSignal) => Promise<Integrity>;
  /** Folders in which damaged files were put aside; the person is to be told while there are any. */
  readonly quarantined: () => string[];
  /** Acts that were acknowledged and are no longer in the database, such as those of a log whose end was lost. */
  readonly losses: () => Loss[];
  readonly close: () => void;
}

export type ReadableStore = Upkeep &
  RawReading &
  DayReading &
  DecisionReading &
  BenchReading &
  ArrivalReading &
  ProtocolReading &
  ResultReading &
  SettingReading;

export type Store = ReadableStore &
  RawWriting &
  DayWriting &
  DecisionWriting &
  BenchWriting &
  ArrivalWriting &
  ProtocolWriting &
  ResultWriting &
  SettingWriting;

/** Opens a lab folder, making it where there is none. `folder` is an absolute path. */
export function openStore(folder: string, shapeOf: ShapeOf = () => 1): Outcome<Store, StoreError> {
  const layout = layoutOf(folder);
  const opened = openWritable(layout, MIGRATIONS);
  if (!opened.ok) return opened;
  const swept = attempt(folder, () => sweepIncoming(layout));
  if (!swept.ok) {
    opened.value.close();
    return swept;
  }
  return done({ ...reading(opened.value, layout), ...writing(opened.value, layout, shapeOf) });
}

/** Opens a lab folder to look at it; works where nothing can be written. Changes nothing that was recorded. */
export function openStoreReadOnly(folder: string): Outcome<ReadableStore, StoreError> {
  const layout = layoutOf(folder);
  const opened = openReadable(layout, MIGRATIONS);
  return opened.ok ? done(reading(opened.value, layout)) : opened;
}

function reading(db: ReadableDb, layout: Layout): ReadableStore {
  return {
    folder: layout.folder,
    ...rawReading(layout),
    ...dayReading(db),
    ...decisionReading(db),
    ...benchReading(db),
    ...arrivalReading(db),
    ...protocolReading(db),
    ...resultReading(db),
    ...settingReading(db),
    backupTo: (folder, signal, onFile) => backupTo(db, layout, folder, signal, onFile),
    checkIntegrity: (signal) => checkIntegrity(db, layout, signal),
    quarantined: () => quarantined(layout),
    losses: () => allLosses(db, layout),
    close: db.close,
  };
}

/** Noted ones, and one that could not be noted because nothing is written. */
function allLosses(db: ReadableDb, layout: Layout): Loss[] {
  const missed = missedActs(db, layout);
  return missed === null ? losses(db) : [...losses(db), { id: 0, ...missed, who: null, at: null }];
}

function writing(db: WritableDb, layout: Layout, shapeOf: ShapeOf): Omit<Store, keyof ReadableStore> {
  const { folder } = layout;
  return {
    ...rawWriting(
      layout,
      (bytes) => lengthKnown(db, bytes),
      (sha256) => isNamed(db, sha256),
    ),
    ...dayWriting(db, folder),
    ...decisionWriting(db, folder, shapeOf),
    ...benchWriting(db, folder, shapeOf),
    ...arrivalWriting(db, folder),
    ...protocolWriting(db, folder, shapeOf),
    ...resultWriting(db, folder),
    ...settingWriting(db, folder),
  };
}
