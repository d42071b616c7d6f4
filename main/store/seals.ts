/**
 * Pages of a database carry no checksum, so a bit that flips inside a text goes unnoticed by SQLite. What people
 * decided and what was calibrated is therefore written with a seal: the SHA-256 (FIPS 180-4) of the row as JSON.
 */
import { createHash } from 'node:crypto';
import type { ReadableDb } from './database.ts';
import { hasTable } from './hastable.ts';

/** What a decision says, as it is kept. */
export interface DecisionText {
  readonly trial: string | null;
  readonly subject: string;
  readonly key: string;
  /** JSON text, as `after`. */
  readonly before: string;
  readonly after: string;
  readonly says: string;
}

interface SealedDecision extends DecisionText {
  readonly day: number | null;
  readonly parent: number | null;
}

interface SealedTurn {
  readonly day: number | null;
  readonly decision: number;
  readonly action: string;
  readonly at: string;
  readonly who: string;
}

interface SealedCalibration {
  readonly sensor: string;
  readonly at: string;
  readonly who: string;
  readonly version: string;
  readonly day: string | null;
  readonly sha256: string | null;
  /** JSON text. */
  readonly content: string;
}

interface SealedProtocol {
  readonly protocol: string;
  readonly version: number;
  /** JSON text. */
  readonly content: string;
  readonly at: string;
  readonly who: string;
}

export function decisionSeal(row: SealedDecision): string {
  const { day, parent, trial, subject, key, before, after, says } = row;
  return seal([day, parent, trial, subject, key, before, after, says]);
}

export function turnSeal({ day, decision, action, at, who }: SealedTurn): string {
  return seal([day, decision, action, at, who]);
}

export function calibrationSeal(row: SealedCalibration): string {
  const { sensor, at, who, version, day, sha256, content } = row;
  return seal([sensor, at, who, version, day, sha256, content]);
}

export function protocolSeal({ protocol, version, content, at, who }: SealedProtocol): string {
  return seal([protocol, version, content, at, who]);
}

interface Broken {
  readonly id: number;
  readonly day: number | null;
}

export function brokenDecisions(db: ReadableDb): Broken[] {
  return db
    .all<SealedDecision & Broken & { seal: string }>('SELECT * FROM decision ORDER BY id')
    .filter((row) => decisionSeal(row) !== row.seal);
}

export function brokenTurns(db: ReadableDb): Broken[] {
  return db
    .all<SealedTurn & Broken & { seal: string }>('SELECT * FROM decision_turn ORDER BY id')
    .filter((row) => turnSeal(row) !== row.seal);
}

export function brokenProtocols(db: ReadableDb): SealedProtocol[] {
  if (!hasTable(db, 'protocol_version')) return [];
  return db
    .all<SealedProtocol & { seal: string }>('SELECT * FROM protocol_version')
    .filter((row) => protocolSeal(row) !== row.seal);
}

export function brokenCalibrations(db: ReadableDb): (SealedCalibration & { readonly id: number })[] {
  if (!hasTable(db, 'calibration')) return [];
  return db
    .all<SealedCalibration & { id: number; seal: string }>('SELECT * FROM calibration ORDER BY id')
    .filter((row) => calibrationSeal(row) !== row.seal);
}

function seal(row: readonly (string | number | null)[]): string {
  return createHash('sha256').update(JSON.stringify(row)).digest('hex');
}
