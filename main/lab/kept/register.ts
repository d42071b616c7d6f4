/**
 * The lab's register: its sensors, its limits, and every calibration judged by what was kept with it. A verdict looks
 * back only: the history it compares with is that of the sensor's accepted calibrations before it.
 */
import { assessDraft, type SensorFacts } from '../../../core/sensor/assess.ts';
import type { BenchDraft, KeptCalibration, SensorCard } from '../../../core/sensor/draft.ts';
import type { SensorView } from '../../../core/contract/bench.ts';
import { DEFAULT_BENCH_LIMITS, type BenchLimits } from '../../../core/sensor/limits.ts';
import type { LabError } from '../../../core/base/refusal.ts';
import { sensitivityHistory, type PastCalibration } from '../../../core/sensor/drift.ts';
import { done, failed, type Outcome } from '../../../core/base/refusal.ts';
import { mean } from '../../../core/base/statistics.ts';
import type { KeptCalibrationRow } from '../../store/bench.ts';
import { CALIBRATION_SHAPE, CARD_SHAPE, DRAFT_SHAPE, LIMITS_SHAPE } from '../shapes/bench.ts';
import { KeptFault, readKept } from '../shapes/shape.ts';
import { readDecided } from './readdecided.ts';
import type { Session } from './session.ts';

/** Subjects of lab-wide decisions. */
export const SENSOR = 'sensor';
export const LIMITS = 'bench.limits';
export const KEPT = 'calibration.kept';
/** Decisions on the lab have no day. */
export const LAB = null;

/** What is kept of a calibration; everything else about it is computed from this. */
export interface CalibrationContent {
  readonly draft: BenchDraft;
  readonly limits: BenchLimits;
  readonly sensor: SensorFacts;
}

export interface RegisteredCalibration extends KeptCalibration {
  /** False for a calibration of a day that has come again with another calibration.csv since. */
  readonly current: boolean;
  readonly sensorFacts: SensorFacts;
  /** SHA-256 of the record as it was written. */
  readonly seal: string;
}

export interface Register {
  /** Sensors by code. */
  readonly cards: ReadonlyMap<string, SensorCard>;
  readonly limits: BenchLimits;
  /** Calibrations that stand, by sensor, in the order of time. */
  readonly calibrations: ReadonlyMap<string, readonly RegisteredCalibration[]>;
  readonly drafts: ReadonlyMap<string, BenchDraft>;
  /** What cannot be read, one sentence each. */
  readonly faults: readonly string[];
  /** Sensors that lack a calibration which cannot be read, with the sentence on it. */
  readonly unreadable: ReadonlyMap<string, string>;
}

/** What is kept of a calibration, in today's shape; throws a KeptFault where it cannot be read. */
export function contentOf({
  id,
  content,
  shape,
}: Pick<KeptCalibrationRow, 'id' | 'content' | 'shape'>): CalibrationContent {
  return readKept(CALIBRATION_SHAPE, content, `calibration ${id}`, shape);
}

/** Reads one thing of the register; where that fails, the sentence joins `faults` and the thing is left out. */
function tolerant(faults: string[]) {
  return <T>(read: () => T): readonly T[] => {
    try {
      return [read()];
    } catch (caught) {
      if (!(caught instanceof KeptFault)) throw caught;
      faults.push(caught.message);
      return [];
    }
  };
}

export function readRegister({ store }: Session): Register {
  const decisions = store.inForce(LAB);
  const faults: string[] = [];
  const reading = tolerant(faults);
  const cards = new Map<string, SensorCard>();
  for (const [sensor, { value, shape }] of store.broughtSensors())
    for (const card of reading(() => readKept(CARD_SHAPE, value, sensor, shape))) cards.set(sensor, card);
  for (const [sensor, decision] of decisions.get(SENSOR) ?? [])
    for (const card of reading(() => readDecided(CARD_SHAPE, decision))) cards.set(sensor, card);
  const [chosen = null] = reading(() => readDecided(LIMITS_SHAPE, decisions.get(LIMITS)?.get(LIMITS), null));
  const limits: BenchLimits = chosen ?? DEFAULT_BENCH_LIMITS;
  const kept = decisions.get(KEPT) ?? new Map<string, unknown>();
  const unreadable = new Map<string, string>();
  const standing = store
    .calibrations()
    .filter(({ id, day }) => day !== null || kept.has(String(id)))
    .flatMap((row) => {
      const read = reading(() => ({ ...row, content: contentOf(row) }));
      if (read.length === 0) unreadable.set(row.sensor, faults.at(-1)!);
      return read;
    });
  const bySensor = Map.groupBy(standing, ({ sensor }) => sensor);
  const drafts = [...store.drafts()].flatMap(([sensor, { value, shape }]) =>
    reading(() => [sensor, readKept(DRAFT_SHAPE, value, sensor, shape)] as const),
  );
  return {
    cards: new Map([...cards].toSorted(([a], [b]) => (a < b ? -1 : 1))),
    limits,
    calibrations: new Map([...bySensor].map(([sensor, rows]) => [sensor, judgeAll(rows)])),
    drafts: new Map<string, BenchDraft>(drafts),
    faults,
    unreadable,
  };
}

function judgeAll(
  rows: readonly (KeptCalibrationRow & { readonly content: CalibrationContent })[],
): readonly RegisteredCalibration[] {
  const newestOfDay = new Map(rows.flatMap(({ day, id }) => (day === null ? [] : [[day, id] as const])));
  const sensitivities: number[] = [];
  return rows
    .toSorted((a, b) => Date.parse(a.at) - Date.parse(b.at) || a.id - b.id)
    .map(({ content, day, sha256, shape: _shape, ...row }) => {
      const { draft, limits, sensor } = content;
      const judged = assessDraft(draft, sensor, limits, mean(sensitivities), day === null ? 'bench' : 'day');
      const current = day === null || newestOfDay.get(day) === row.id;
      if (current && judged.assessment !== null && judged.verdict.verdict !== 'rejected')
        sensitivities.push(judged.assessment.sensitivity.value);
      const origin: KeptCalibration['origin'] =
        day === null || sha256 === null ? { kind: 'bench' } : { kind: 'day', day, sha256 };
      return { ...row, origin, draft, limits, ...judged, current, sensorFacts: sensor };
    });
}

/** A calibration as the contract carries it. */
export function toRecord(calibration: RegisteredCalibration): KeptCalibration {
  const { current: _current, sensorFacts: _facts, seal: _seal, ...record } = calibration;
  return record;
}

/** The accepted calibrations of a sensor, with or without remark, in the order of time. */
export function acceptedOf(register: Register, sensor: string): readonly RegisteredCalibration[] {
  return (register.calibrations.get(sensor) ?? []).filter(
    ({ current, assessment, verdict }) =>
      current && assessment !== null && verdict !== null && verdict.verdict !== 'rejected',
  );
}

export function viewSensor(register: Register, sensor: string): Outcome<SensorView, LabError> {
  const card = register.cards.get(sensor);
  return card === undefined ? noSensor(sensor) : done(sensorView(register, card));
}

export function noSensor(sensor: string): { readonly ok: false; readonly error: LabError } {
  return failed({
    code: 'not_found',
    says: `The register has no sensor ${sensor}.`,
    todo: 'Register the sensor first, or go back to the list of sensors.',
  });
}

export function sensorView(register: Register, card: SensorCard): SensorView {
  const past = acceptedOf(register, card.sensor).map(({ id, at, assessment }): PastCalibration => {
    const { value, u } = assessment!.sensitivity;
    return { id: String(id), atMs: Date.parse(at), sensitivity: value, sensitivityU: u };
  });
  const limitPct = register.limits.sensitivityChangePct ?? DEFAULT_BENCH_LIMITS.sensitivityChangePct!;
  return {
    card,
    calibrations: (register.calibrations.get(card.sensor) ?? []).map(toRecord),
    history: sensitivityHistory(past, limitPct),
    draft: register.drafts.get(card.sensor) ?? null,
  };
}
