/**
 * The lab folder: one database and the raw files. All that is kept passes through here; time and person are always
 * given by the caller. Reading methods throw only for bugs and failing disks; writing ones give what a person can
 * cause, or the machine suffer, as a value.
 */
import type { Outcome } from '../../core/base/refusal.ts';
import { done, failed } from '../../core/base/refusal.ts';
import { arrivalReading, arrivalWriting, type ArrivalReading, type ArrivalWriting } from './arrivals.ts';
import { backupTo, type Backup } from './backup.ts';
import { backupAgain, isBackup, predatesErasure } from './backupagain.ts';
import { benchReading, benchWriting, type BenchReading, type BenchWriting } from './bench.ts';
import { dayReading, dayWriting, isNamed, lengthKnown, type DayReading, type DayWriting } from './days.ts';
import {
  decisionReading,
  decisionWriting,
  type DecisionReading,
  type DecisionWriting,
  type ShapeOf,
  type Standing,
} from './decisions.ts';
import type { Damage, ReadableDb, WritableDb } from './database.ts';
import {
  erasureReading,
  erasureWriting,
  finishErasing,
  type ErasureReading,
  type ErasureWriting,
} from './erase.ts';
import { attempt, attemptAsync, type StoreError } from './errors.ts';
import { checkIntegrity, namesOf, type Integrity } from './integrity.ts';
import { losses, lossWriting, missedActs, type Loss, type LossWriting } from './chainhead.ts';
import { layoutOf, type Layout } from './layout.ts';
import { MIGRATIONS } from './migrations.ts';
import { openToOthers } from './own.ts';
import { openReadable, openWritable } from './open.ts';
import { protocolReading, protocolWriting, type ProtocolReading, type ProtocolWriting } from './protocols.ts';
import { quarantined } from './quarantine.ts';
import { rawChecking, type RawChecking } from './rawcheck.ts';
import { rawReading, rawWriting, sweepIncoming, type RawReading, type RawWriting } from './raw.ts';
import { planReading, planWriting, type PlanReading, type PlanWriting } from './plans.ts';
import { releaseReading, releaseWriting, type ReleaseReading, type ReleaseWriting } from './releases.ts';
import { resultReading, resultWriting, type ResultReading, type ResultWriting } from './results.ts';
import { settingReading, settingWriting, type SettingReading, type SettingWriting } from './settings.ts';

export type { StoreError } from './errors.ts';

interface Upkeep {
  readonly folder: string;
  /**
   * Copies everything, while in use, to a new or empty folder and reads the copy back. A backup of this lab folder that
   * lies there is brought up to date: only what changed is copied; `full` reads all of it back.
   */
  readonly backupTo: (
    folder: string,
    signal?: AbortSignal,
    onFile?: (done: number, total: number) => void,
    full?: boolean,
  ) => Promise<Outcome<Backup, StoreError>>;
  /** True where the backup that lies there is from before an erasure, and still holds who was erased. */
  readonly predatesErasure: (folder: string) => boolean;
  /** Copies everything to a new or empty folder, as a lab folder to work with, and reads the copy back. */
  readonly restoreTo: (
    folder: string,
    onFile?: (done: number, total: number) => void,
  ) => Promise<Outcome<Backup, StoreError>>;
  readonly checkIntegrity: (
    signal?: AbortSignal,
    onFile?: (done: number, total: number) => void,
  ) => Promise<Integrity>;
  /** What of the lab a content is: `traces/T1.csv of day D1`. */
  readonly rawNames: (sha256: string) => string[];
  /** Folders in which damaged files were put aside; the person is to be told while there are any. */
  readonly quarantined: () => string[];
  /** Acts that were acknowledged and are no longer in the database, such as those of a log whose end was lost. */
  readonly losses: () => Loss[];
  /** What is no longer what was recorded, found when the folder was opened. */
  readonly damage: readonly Damage[];
  /** That others of the machine may be able to read the lab folder; null where they cannot. */
  readonly openToOthers: () => string | null;
  /** Why nothing can be written; null where it can. */
  readonly readOnly: StoreError | null;
  readonly close: () => void;
}

export type ReadableStore = Upkeep &
  RawReading &
  RawChecking &
  DayReading &
  DecisionReading &
  BenchReading &
  ArrivalReading &
  ProtocolReading &
  ReleaseReading &
  PlanReading &
  ErasureReading &
  ResultReading &
  SettingReading;

export type Store = ReadableStore &
  RawWriting &
  DayWriting &
  DecisionWriting &
  BenchWriting &
  ArrivalWriting &
  ProtocolWriting &
  ReleaseWriting &
  PlanWriting &
  ErasureWriting &
  ResultWriting &
  SettingWriting &
  LossWriting;

/** Opens a lab folder, making it where there is none. `folder` is an absolute path. */
export function openStore(folder: string, shapeOf: ShapeOf = () => 1): Outcome<Store, StoreError> {
  const layout = layoutOf(folder);
  const opened = openWritable(layout, MIGRATIONS);
  if (!opened.ok) return opened;
  const swept = attempt(folder, () => {
    sweepIncoming(layout);
    finishErasing(opened.value, layout);
  });
  if (!swept.ok) {
    opened.value.close();
    return swept;
  }
  const standing: Standing = new Map();
  return done({
    ...reading(opened.value, layout, standing),
    ...writing(opened.value, layout, shapeOf, standing),
  });
}

/** Opens a lab folder to look at it; works where nothing can be written. Changes nothing that was recorded. */
export function openStoreReadOnly(folder: string): Outcome<ReadableStore, StoreError> {
  const layout = layoutOf(folder);
  const opened = openReadable(layout, MIGRATIONS);
  return opened.ok ? done(reading(opened.value, layout, new Map())) : opened;
}

/**
 * Opens a lab folder for work; where it can only be looked at, because it is on a read-only disk, of a newer program or
 * damaged, every writing method says why and nothing is written. `folder` is an absolute path.
 */
export function openWhatCan(folder: string, shapeOf: ShapeOf): Outcome<Store, StoreError> {
  const opened = openStore(folder, shapeOf);
  if (opened.ok || !LOOKED_AT.has(opened.error.code)) return opened;
  const reading = openStoreReadOnly(folder);
  if (!reading.ok) return opened;
  return done({ ...reading.value, ...refusing(opened.error), readOnly: opened.error });
}

const LOOKED_AT: ReadonlySet<StoreError['code']> = new Set(['read_only', 'from_future', 'damaged']);

function reading(db: ReadableDb, layout: Layout, standing: Standing): ReadableStore {
  return {
    folder: layout.folder,
    ...rawReading(layout),
    ...rawChecking(layout),
    ...dayReading(db),
    ...decisionReading(db, standing),
    ...benchReading(db),
    ...arrivalReading(db),
    ...protocolReading(db),
    ...releaseReading(db),
    ...planReading(db),
    ...erasureReading(db),
    ...resultReading(db),
    ...settingReading(db),
    backupTo: (folder, signal, onFile, full = false) =>
      isBackup(folder)
        ? attemptAsync(folder, async () => ({
            folder,
            ...(await backupAgain(db, layout, layoutOf(folder), full, signal, onFile)),
          }))
        : backupTo(db, layout, folder, true, signal, onFile),
    predatesErasure: (folder) => predatesErasure(db, folder),
    restoreTo: (folder, onFile) => backupTo(db, layout, folder, false, undefined, onFile),
    checkIntegrity: (signal, onFile) => checkIntegrity(db, layout, signal, onFile),
    rawNames: (sha256) => namesOf(db, sha256),
    quarantined: () => quarantined(layout),
    losses: () => allLosses(db, layout),
    damage: db.damage,
    openToOthers: () => openToOthers(layout.folder),
    readOnly: null,
    close: db.close,
  };
}

/** Noted ones, and one that could not be noted because nothing is written. */
function allLosses(db: ReadableDb, layout: Layout): Loss[] {
  const missed = missedActs(db, layout);
  return missed === null ? losses(db) : [...losses(db), { id: 0, ...missed, who: null, at: null }];
}

function writing(
  db: WritableDb,
  layout: Layout,
  shapeOf: ShapeOf,
  standing: Standing,
): Omit<Store, keyof ReadableStore> {
  const { folder } = layout;
  return {
    ...rawWriting(
      layout,
      (bytes) => lengthKnown(db, bytes),
      (sha256) => isNamed(db, sha256),
      rawChecking(layout),
    ),
    ...dayWriting(db, folder),
    ...decisionWriting(db, folder, shapeOf),
    ...benchWriting(db, folder, shapeOf),
    ...arrivalWriting(db, folder),
    ...protocolWriting(db, folder, shapeOf),
    ...releaseWriting(db, folder, shapeOf),
    ...planWriting(db, folder, shapeOf),
    ...erasureWriting(db, layout, () => standing.clear()),
    ...resultWriting(db, folder),
    ...settingWriting(db, folder),
    ...lossWriting(db, folder),
  };
}

/** Writing methods of a lab folder that is only looked at. */
function refusing(error: StoreError): Omit<Store, keyof ReadableStore> {
  const no = () => failed(error);
  const notYet = () => Promise.resolve(failed(error));
  return {
    addRaw: notYet,
    addRawBytes: notYet,
    dropRaw: no,
    recordDay: no,
    decide: no,
    decideAll: no,
    turnAll: no,
    undo: no,
    redo: no,
    bringSensor: no,
    addCalibration: no,
    keepCalibration: no,
    putDraft: no,
    putRecording: no,
    addArrival: no,
    putProtocolDraft: no,
    addProtocolVersion: no,
    beginDeckDay: no,
    addRelease: no,
    addPlanEntry: no,
    erase: no,
    putResult: no,
    dropResult: no,
    dropResults: no,
    setSetting: no,
    noteLoss: no,
  };
}
