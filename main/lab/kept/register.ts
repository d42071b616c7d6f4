/**
 * The lab's register: its sensors, its limits, and every calibration judged by what was kept with it. A verdict looks
 * back only: the history it compares with is that of the sensor's accepted calibrations before it.
 */
import { assessDraft, type SensorFacts } from '../../../core/sensor/assess.ts';
import type { BenchDraft, CalibrationRecord, SensorCard } from '../../../core/sensor/draft.ts';
import type { SensorView } from '../../../core/contract/bench.ts';
import { DEFAULT_BENCH_LIMITS, type BenchLimits } from '../../../core/sensor/limits.ts';
import type { LabError } from '../../../core/base/refusal.ts';
import { sensitivityHistory, type PastCalibration } from '../../../core/sensor/drift.ts';
import { done, failed, type Outcome } from '../../../core/base/refusal.ts';
import { mean } from '../../../core/base/statistics.ts';
import type { StoredCalibration } from '../../store/bench.ts';
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

export interface RegisteredCalibration extends CalibrationRecord {
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
}

export function readRegister({ store }: Session): Register {
  const decisions = store.inForce(LAB);
  const cards = new Map([...store.broughtSensors()] as [string, SensorCard][]);
  for (const [sensor, { after }] of decisions.get(SENSOR) ?? []) cards.set(sensor, after as SensorCard);
  const limits = {
    ...DEFAULT_BENCH_LIMITS,
    ...(decisions.get(LIMITS)?.get(LIMITS)?.after as Partial<BenchLimits> | undefined),
  };
  const kept = decisions.get(KEPT) ?? new Map<string, unknown>();
  const standing = store.calibrations().filter(({ id, day }) => day !== null || kept.has(String(id)));
  const bySensor = Map.groupBy(standing, ({ sensor }) => sensor);
  return {
    cards: new Map([...cards].toSorted(([a], [b]) => (a < b ? -1 : 1))),
    limits,
    calibrations: new Map([...bySensor].map(([sensor, rows]) => [sensor, judgeAll(rows)])),
    drafts: store.drafts() as ReadonlyMap<string, BenchDraft>,
  };
}

/** Limits that calibrations kept by an earlier version were not judged by. */
const NOT_ASKED_THEN = { leastCoveragePct: null } as const;

function judgeAll(rows: readonly StoredCalibration[]): readonly RegisteredCalibration[] {
  const newestOfDay = new Map(rows.flatMap(({ day, id }) => (day === null ? [] : [[day, id] as const])));
  const sensitivities: number[] = [];
  return rows
    .toSorted((a, b) => Date.parse(a.at) - Date.parse(b.at) || a.id - b.id)
    .map(({ content, day, sha256, ...row }) => {
      const { draft, sensor, ...kept } = content as CalibrationContent;
      const limits = { ...NOT_ASKED_THEN, ...kept.limits };
      const judged = assessDraft(draft, sensor, limits, mean(sensitivities), day === null ? 'bench' : 'day');
      const current = day === null || newestOfDay.get(day) === row.id;
      if (current && judged.assessment !== null && judged.verdict.verdict !== 'rejected')
        sensitivities.push(judged.assessment.sensitivity.value);
      const origin: CalibrationRecord['origin'] =
        day === null || sha256 === null ? { kind: 'bench' } : { kind: 'day', day, sha256 };
      return { ...row, origin, draft, limits, ...judged, current, sensorFacts: sensor };
    });
}

/** A calibration as the contract carries it. */
export function toRecord(calibration: RegisteredCalibration): CalibrationRecord {
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
