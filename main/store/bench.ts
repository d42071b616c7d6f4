/**
 * What the calibration bench keeps besides decisions: sensors that came with a day, calibrations, the calibration being
 * made on each sensor, and recordings. A calibration is evidence and is only ever added; whether one made at the bench
 * counts is a decision of the lab, so that it can be taken back.
 */
import type { Outcome } from '../../core/base/refusal.ts';
import { chain } from './acts.ts';
import type { ReadableDb, WritableDb } from './database.ts';
import { decide, type Decision, type DecisionToMake, type ShapeOf } from './decisions.ts';
import { parseJson } from './json.ts';
import { attempt, type StoreError } from './errors.ts';
import { calibrationSeal } from './seals.ts';

/** Something kept as JSON, and the shape in which it was written. */
export interface KeptValue {
  readonly value: unknown;
  readonly shape: number;
}

export interface CalibrationToAdd {
  readonly sensor: string;
  /** ISO 8601 instant of the calibration. */
  readonly at: string;
  readonly who: string;
  readonly version: string;
  /** The day folder it came with and the SHA-256 of its calibration.csv; null where it was made at the bench. */
  readonly day: string | null;
  readonly sha256: string | null;
  /** What was read and by which limits; anything JSON can hold. */
  readonly content: unknown;
}

export interface KeptCalibrationRow extends CalibrationToAdd {
  readonly id: number;
  /** SHA-256 of the row as it was written. */
  readonly seal: string;
  /** The shape in which `content` was written. */
  readonly shape: number;
}

export interface KeptRecordingRow {
  readonly sha256: string;
  readonly bytes: number;
  /** The name it was opened under, and how its time was read, at the last opening. */
  readonly file: string;
  readonly time: unknown;
}

export interface BenchReading {
  /** Cards of the sensors that came with a day, by code. */
  readonly broughtSensors: () => ReadonlyMap<string, KeptValue>;
  /** Every calibration ever kept, oldest entry first, also those taken back. */
  readonly calibrations: () => KeptCalibrationRow[];
  /** The calibrations being made, by sensor. */
  readonly drafts: () => ReadonlyMap<string, KeptValue>;
  readonly getRecording: (sha256: string) => KeptRecordingRow | null;
}

export interface BenchWriting {
  /** Adds a sensor that came with a day; one that came before stays as it is. */
  readonly bringSensor: (
    sensor: string,
    card: unknown,
    day: string,
    who: string,
    at: string,
  ) => Outcome<null, StoreError>;
  /** Adds a calibration that came with a day; gives its id. */
  readonly addCalibration: (calibration: CalibrationToAdd) => Outcome<number, StoreError>;
  /** Adds a calibration made at the bench, records that it counts, and ends the sensor's draft: all of it or nothing. */
  readonly keepCalibration: (
    calibration: CalibrationToAdd,
    decision: (id: number) => DecisionToMake,
  ) => Outcome<Decision, StoreError>;
  /** Keeps the calibration being made on a sensor in place of the one before; null ends it. */
  readonly putDraft: (sensor: string, draft: unknown, who: string, at: string) => Outcome<null, StoreError>;
  readonly putRecording: (recording: KeptRecordingRow, who: string, at: string) => Outcome<null, StoreError>;
}

export function benchReading(db: ReadableDb): BenchReading {
  return {
    broughtSensors: () =>
      byCode(db.all<CodeRow>('SELECT sensor, card AS json, shape FROM brought_sensor ORDER BY sensor')),
    calibrations: () =>
      db
        .all<KeptCalibrationRow & { content: string }>(
          `SELECT * FROM calibration
           WHERE CAST(id AS TEXT) NOT IN (SELECT row FROM temp.broken WHERE what = 'calibration') ORDER BY id`,
        )
        .map((row) => ({ ...row, content: parseJson(row.content) })),
    drafts: () => byCode(db.all<CodeRow>('SELECT sensor, draft AS json, shape FROM calibration_draft')),
    getRecording: (sha256) => {
      const row = db.get<KeptRecordingRow & { time: string }>(
        'SELECT sha256, bytes, file, time FROM recording WHERE sha256 = ?',
        sha256,
      );
      return row === undefined ? null : { ...row, time: parseJson(row.time) };
    },
  };
}

interface CodeRow {
  readonly sensor: string;
  readonly json: string;
  readonly shape: number;
}

function byCode(rows: readonly CodeRow[]): ReadonlyMap<string, KeptValue> {
  return new Map(rows.map(({ sensor, json, shape }) => [sensor, { value: parseJson(json), shape }]));
}

export function benchWriting(db: WritableDb, folder: string, shapeOf: ShapeOf): BenchWriting {
  const inOne = <T>(work: () => T) => attempt(folder, () => db.transaction(work));
  return {
    bringSensor: (sensor, card, day, who, at) =>
      inOne(() => {
        if (db.get('SELECT 1 FROM brought_sensor WHERE sensor = ?', sensor) !== undefined) return null;
        db.run(
          'INSERT INTO brought_sensor (sensor, card, day, at, who) VALUES (?, ?, ?, ?, ?)',
          sensor,
          JSON.stringify(card),
          day,
          at,
          who,
        );
        chain(db, 'sensor', sensor);
        return null;
      }),
    addCalibration: (calibration) => inOne(() => insertCalibration(db, calibration)),
    keepCalibration: (calibration, decision) =>
      inOne(() => {
        const made = decision(insertCalibration(db, calibration));
        const kept = decide(db, made, shapeOf(made.subject));
        db.run('DELETE FROM calibration_draft WHERE sensor = ?', calibration.sensor);
        return kept;
      }),
    putDraft: (sensor, draft, who, at) =>
      inOne(() => {
        if (draft === null) db.run('DELETE FROM calibration_draft WHERE sensor = ?', sensor);
        else
          db.run(
            `INSERT INTO calibration_draft (sensor, draft, at, who) VALUES (?, ?, ?, ?)
             ON CONFLICT (sensor) DO UPDATE SET draft = excluded.draft, at = excluded.at, who = excluded.who`,
            sensor,
            JSON.stringify(draft),
            at,
            who,
          );
        return null;
      }),
    putRecording: ({ sha256, bytes, file, time }, who, at) =>
      inOne(() => {
        db.run(
          `INSERT INTO recording (sha256, bytes, file, time, at, who) VALUES (?, ?, ?, ?, ?, ?)
           ON CONFLICT (sha256) DO UPDATE SET file = excluded.file, time = excluded.time`,
          sha256,
          bytes,
          file,
          JSON.stringify(time),
          at,
          who,
        );
        return null;
      }),
  };
}

function insertCalibration(db: WritableDb, calibration: CalibrationToAdd): number {
  const row = { ...calibration, content: JSON.stringify(calibration.content) };
  const id = db.run(
    `INSERT INTO calibration (sensor, at, who, version, day, sha256, content, seal)
     VALUES (@sensor, @at, @who, @version, @day, @sha256, @content, @seal)`,
    { ...row, seal: calibrationSeal(row) },
  );
  chain(db, 'calibration', id);
  return id;
}
