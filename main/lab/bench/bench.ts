/** What a person does at the calibration bench: sensors, limits, the calibration being made, and taking back. */
import { isDeepStrictEqual } from 'node:util';
import type { BenchDraft, KeptCalibration, SensorCard } from '../../../core/sensor/draft.ts';
import type { BenchView, SensorView } from '../../../core/contract/bench.ts';
import { assessDraft, type SensorFacts } from '../../../core/sensor/assess.ts';
import type { BenchLimits } from '../../../core/sensor/limits.ts';
import type { LabError } from '../../../core/base/refusal.ts';
import { done, failed, type Outcome } from '../../../core/base/refusal.ts';
import { mean } from '../../../core/base/statistics.ts';
import { CALIBRATION_WORDS } from '../../../core/sensor/words.ts';
import { namesNobody } from '../../../core/deck/veil.ts';
import type { HistoryEntry } from '../../../core/contract/views.ts';
import type { Decision } from '../../store/decisions.ts';
import { toEntry } from '../days/dayview.ts';
import {
  acceptedOf,
  contentOf,
  KEPT,
  LAB,
  LIMITS,
  noSensor,
  readRegister,
  SENSOR,
  sensorView,
  toRecord,
  viewSensor,
  type CalibrationContent,
  type Register,
} from '../kept/register.ts';
import { decide, standing } from '../kept/decide.ts';
import {
  knownFaults,
  contentFaults,
  recordingsOf,
  restsOnDamage,
  type NamedContent,
} from '../kept/evidence.ts';
import { now, operatorOf, storeFault, type Session } from '../kept/session.ts';

/** The bench; what its calibrations were read from has been looked at. */
export async function openBench(session: Session): Promise<BenchView> {
  await contentFaults(session, behindRegister(readRegister(session)), 'checked');
  return viewBench(session);
}

function behindRegister({ calibrations, drafts }: Register): readonly NamedContent[] {
  const kept = [...calibrations.values()].flat().map(({ draft }) => draft);
  return recordingsOf([...kept, ...drafts.values()]);
}

function viewBench(session: Session): BenchView {
  const register = readRegister(session);
  const damaged = knownFaults(session, behindRegister(register));
  return {
    sensors: [...register.cards.values()].map((card) => sensorView(register, card)),
    limits: register.limits,
    faults: [
      ...register.faults,
      ...damaged.map(({ says }) => `${says} What was read from it rests on damaged evidence.`),
    ],
    canUndo: session.store.canUndo(LAB),
    canRedo: session.store.canRedo(LAB),
  };
}

/** Registers a sensor, or changes its card. */
export function saveSensor(
  session: Session,
  { card, seen }: { readonly card: SensorCard; readonly seen: SensorCard | null },
): Outcome<BenchView, LabError> {
  const { sensor, rawMin, rawMax } = card;
  if (rawMin !== null && rawMax !== null && rawMin >= rawMax)
    return failed({
      code: 'bad_input',
      says: `The lower raw limit of ${sensor} (${rawMin}) is not below the upper one (${rawMax}).`,
      todo: 'Give the smallest and the largest raw value that the sensor can put out.',
    });
  if (seen !== null && seen.sensor !== sensor)
    return failed({
      code: 'bad_input',
      says: `The code of sensor ${seen.sensor} cannot be changed to ${sensor}: its calibrations go by its code.`,
      todo: 'Retire it and register a new sensor.',
    });
  const stands = readRegister(session).cards.get(sensor) ?? null;
  if (!isDeepStrictEqual(stands, seen))
    return failed({
      code: 'changed_meanwhile',
      says:
        seen === null
          ? `There is a sensor ${sensor} in the register already.`
          : `The entry of sensor ${sensor} has changed meanwhile.`,
      todo:
        seen === null
          ? 'Open its entry, or choose another code.'
          : 'Look at what it says now, then change it again.',
    });
  if (isDeepStrictEqual(stands, card)) return done(viewBench(session));
  const decided = decide(session, {
    day: LAB,
    trial: null,
    subject: SENSOR,
    key: sensor,
    after: card,
    says: stands === null ? `Sensor ${sensor} registered` : `Register entry of sensor ${sensor} changed`,
  });
  return decided.ok ? done(viewBench(session)) : decided;
}

/** Sets the limits that calibrations are judged by from now on; those kept before keep theirs. */
export function setLimits(session: Session, limits: BenchLimits): Outcome<BenchView, LabError> {
  const before = standing(session, { day: LAB, subject: LIMITS, key: LIMITS });
  if (isDeepStrictEqual(before, limits)) return done(viewBench(session));
  const decided = decide(session, {
    day: LAB,
    trial: null,
    subject: LIMITS,
    key: LIMITS,
    before,
    after: limits,
    says: 'Limits for calibrations changed',
  });
  return decided.ok ? done(viewBench(session)) : decided;
}

/** Keeps the calibration being made as it stands on the screen. */
export function saveDraft(
  session: Session,
  sensor: string,
  draft: BenchDraft | null,
): Outcome<SensorView, LabError> {
  if (!readRegister(session).cards.has(sensor)) return noSensor(sensor);
  if (draft !== null && draft.sensor !== sensor)
    return failed({
      code: 'bad_input',
      says: `This calibration is of sensor ${draft.sensor}, not of ${sensor}.`,
      todo: `Go back to sensor ${draft.sensor}.`,
    });
  const put = session.store.putDraft(sensor, draft, operatorOf(session), now());
  return put.ok ? viewSensor(readRegister(session), sensor) : storeFault(put.error);
}

/** Ends the calibration being made: it joins the sensor's calibrations, judged by the lab's limits. */
export async function keepDraft(
  session: Session,
  sensor: string,
): Promise<Outcome<KeptCalibration, LabError>> {
  const register = readRegister(session);
  const card = register.cards.get(sensor);
  if (card === undefined) return noSensor(sensor);
  const draft = register.drafts.get(sensor);
  if (draft === undefined)
    return failed({
      code: 'not_found',
      says: `No calibration of sensor ${sensor} is being made.`,
      todo: 'Begin one, or look at those that were kept.',
    });
  const facts: SensorFacts = { rangeKpa: card.rangeKpa, rawMin: card.rawMin, rawMax: card.rawMax };
  const past = acceptedOf(register, sensor).map(({ assessment }) => assessment!.sensitivity.value);
  const judged = assessDraft(draft, facts, register.limits, mean(past));
  const missing = keepFault(draft, judged.faults);
  if (missing !== null) return failed(missing);
  const damaged = await contentFaults(session, recordingsOf([draft]), 'checked');
  if (damaged.length > 0)
    return restsOnDamage(
      `The calibration of sensor ${sensor} was not kept`,
      damaged,
      'Open the recording again, which brings it in anew, or set the points aside that were read from it.',
    );
  const [who, keptAt] = [operatorOf(session), now()];
  if (draft.madeOn != null && draft.madeOn > keptAt.slice(0, 10))
    return failed({
      code: 'bad_input',
      says: `The calibration of sensor ${sensor} would be of ${draft.madeOn}, a day that is still to come.`,
      todo: 'Correct the date on which it was made.',
    });
  // A calibration of an earlier day stands at its noon, as those that came with a day do.
  const at = draft.madeOn == null ? keptAt : `${draft.madeOn}T12:00:00.000Z`;
  const content: CalibrationContent = { draft, limits: register.limits, sensor: facts };
  const kept = session.store.keepCalibration(
    { sensor, at, who, version: session.version, day: null, sha256: null, content },
    (id) => ({
      day: LAB,
      trial: null,
      subject: KEPT,
      key: String(id),
      before: null,
      after: { sensor, verdict: judged.verdict.verdict },
      says: `Calibration of sensor ${sensor}${draft.madeOn == null ? '' : ` of ${draft.madeOn}`} kept: ${CALIBRATION_WORDS[judged.verdict.verdict].says.toLowerCase()}`,
      who,
      at: keptAt,
    }),
  );
  return kept.ok ? getCalibration(session, Number(kept.value.key)) : storeFault(kept.error);
}

/** Why a calibration cannot be kept as it is: nothing was read, or a depth has no pressure. */
function keepFault(
  draft: BenchDraft,
  faults: readonly { readonly code: string; readonly says: string; readonly todo: string }[],
): LabError | null {
  if (draft.points.every(({ setAside }) => setAside !== null))
    return {
      code: 'bad_input',
      says: 'No point takes part in this calibration.',
      todo: 'Read at least two different pressures.',
    };
  const dry = faults.find(({ code }) => code === 'water_unknown');
  return dry === undefined ? null : { code: 'bad_input', says: dry.says, todo: dry.todo };
}

export function getCalibration(session: Session, id: number): Outcome<KeptCalibration, LabError> {
  const { calibrations } = readRegister(session);
  const found = [...calibrations.values()].flat().find((calibration) => calibration.id === id);
  if (found !== undefined) return done(toRecord(found));
  return failed({
    code: 'not_found',
    says: `There is no calibration ${id} in the register, or it was taken back.`,
    todo: 'Go back to the sensor and choose one of its calibrations.',
  });
}

/** Takes back, or brings back, one decision of the bench. A calibration taken back lies as a draft again. */
export function turnBench(session: Session, way: 'undo' | 'redo'): Outcome<HistoryEntry | null, LabError> {
  const { store } = session;
  const turned = store[way](LAB, operatorOf(session), now());
  if (!turned.ok) return storeFault(turned.error);
  if (turned.value === null) return done(null);
  const settled = settleDraft(session, turned.value, way);
  return settled.ok ? done(toEntry(turned.value, namesNobody)) : settled;
}

function settleDraft(
  session: Session,
  { subject, key }: Decision,
  way: 'undo' | 'redo',
): Outcome<null, LabError> {
  const { store } = session;
  const row = subject === KEPT ? store.calibrations().find(({ id }) => String(id) === key) : undefined;
  if (row === undefined) return done(null);
  const { draft } = contentOf(row);
  const lying = store.drafts().get(row.sensor)?.value;
  const put = (next: BenchDraft | null) => store.putDraft(row.sensor, next, operatorOf(session), now());
  // A calibration begun meanwhile is not written over, nor ended.
  if (way === 'undo' && lying === undefined) {
    const back = put(draft);
    if (!back.ok) return storeFault(back.error);
  }
  if (way === 'redo' && isDeepStrictEqual(lying, draft)) {
    const ended = put(null);
    if (!ended.ok) return storeFault(ended.error);
  }
  return done(null);
}
