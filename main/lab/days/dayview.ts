/** What the screens Days, Day and Trial show, and the decisions taken there. */
import type { LabError } from '../../../core/base/refusal.ts';
import type { Hand } from '../../../core/base/hand.ts';
import { type Daybook, sensorWorn, type TrialEntry } from '../../../core/day/book.ts';
import { elsewhereOf, pressureOutcome } from '../../../core/day/checks.ts';
import type { SensorCalibration } from '../../../core/day/sensors.ts';
import { orderRefusals } from '../../../core/dataset/dataset.ts';
import { namesNobody, veiled, type Names } from '../../../core/deck/veil.ts';
import { done, failed, type Outcome } from '../../../core/base/refusal.ts';
import { areaUsed, sectionOf } from '../../../core/trial/input.ts';
import type {
  CalibrationUsed,
  CalibrationView,
  DayView,
  HistoryEntry,
  TrialStatus,
  TrialSummary,
  TrialView,
} from '../../../core/contract/views.ts';
import type { Decision } from '../../store/decisions.ts';
import { markingOf } from '../kept/marks.ts';
import { reportedOn } from '../kept/markdecisions.ts';
import type { SensorChoice } from '../kept/choice.ts';
import { namesEverHidden, namesHidden } from '../kept/deckhidden.ts';
import { decide } from '../kept/decide.ts';
import { STATUS } from '../kept/decided.ts';
import { now, operatorOf, storeFault, type Session } from '../kept/session.ts';
import { choicesOn, findTrial, keptDay, type KeptDay } from '../kept/keptday.ts';
import { nextToMark } from '../kept/queue.ts';
import { inputsOf, trialOutcome, trialOutcomes, type CheckedOutcome } from '../kept/outcome.ts';
import { decisionsOn, statusOf, type StatusWords } from './status.ts';

const HIDDEN_DECISION = veiled(namesNobody, 'A decision about a swimmer whose data is hidden');

export async function viewDay(session: Session, id: number): Promise<Outcome<DayView, LabError>> {
  const computed = await trialOutcomes(session, id);
  if (!computed.ok) return computed;
  const { day, outcomes } = computed.value;
  const { book, row } = day;
  const decisions = decisionsOn(session, id);
  const names = namesHidden(session, id);
  const choices = choicesOn(session, day);
  return done({
    id,
    day: row.day,
    date: row.date,
    venue: row.venue,
    poolLengthM: book.day.pool.lengthM,
    protocol: book.day.protocol,
    trials: book.trials.map((entry, index) => ({
      ...summaryOf(entry, outcomes[index]!, decisions, names),
      ...restsOn(day, entry, choices),
    })),
    calibrations: [...book.calibrations.values()].map((one) => calibrationView(one, book)),
    refused: orderRefusals([...book.refused, ...outcomes.flatMap(({ refused }) => refused)]),
    leftOut: book.leftOut,
    openedAt: row.openedAt,
    onDeck: day.onDeck,
    canUndo: session.store.canUndo(id),
    canRedo: session.store.canRedo(id),
  });
}

function summaryOf(
  entry: TrialEntry,
  outcome: CheckedOutcome,
  decisions: ReadonlyMap<string, StatusWords>,
  names: Names,
): Omit<TrialSummary, keyof RestsOn> {
  const { strokes: _strokes, ...result } = outcome.result;
  const { status, reason } = statusOf(entry, decisions.get(entry.row.trial), names);
  return {
    trial: entry.row.trial,
    participant: entry.participant.participant,
    attempt: entry.row.attempt,
    condition: entry.row.condition,
    status,
    exclusionReason: reason,
    hasTrace: outcome.trace !== null,
    hasFilm: outcome.films.some(({ fault }) => fault === null),
    result,
    progress: outcome.progress,
    evidence: outcome.evidence,
  };
}

type RestsOn = Pick<TrialSummary, 'areas' | 'calibrations'>;

/** The hand areas and calibrations that a trial's forces rest on. */
function restsOn({ book }: KeptDay, entry: TrialEntry, choices: ReadonlyMap<string, SensorChoice>): RestsOn {
  const calibration = (hand: Hand): CalibrationUsed | null => {
    const sensor = sensorWorn(book.day, entry.row, hand);
    if (sensor === null) return null;
    const choice = choices.get(sensor);
    if (choice === undefined)
      return {
        says: `day.json has no sensor ${sensor}, so it has no calibration.`,
        from: [],
        verdict: 'missing',
      };
    return { says: choice.says, from: choice.from, verdict: choice.verdict };
  };
  return {
    areas: { left: areaUsed(entry, 'left'), right: areaUsed(entry, 'right') },
    calibrations: { left: calibration('left'), right: calibration('right') },
  };
}

function calibrationView(
  { sensor, calibration, verdict }: SensorCalibration,
  { day, checks }: Daybook,
): CalibrationView {
  const { sensor: code } = sensor;
  const check = pressureOutcome(checks.get(code) ?? [], calibration, elsewhereOf(day, code));
  return {
    checkStartKpa: check?.startKpa ?? null,
    checkEndKpa: check?.endKpa ?? null,
    sensor: sensor.sensor,
    hand: sensor.hand,
    verdict,
    sensitivityRawPerKpa: calibration?.sensitivityRawPerKpa ?? null,
    sensitivityU: calibration?.sensitivityU ?? null,
    nonlinearityPctFs: calibration?.nonlinearityPctFs ?? null,
    hysteresisPctFs: calibration?.hysteresisPctFs ?? null,
    residualSdKpa: calibration?.residualSdKpa ?? null,
  };
}

export async function viewTrial(
  session: Session,
  id: number,
  trial: string,
): Promise<Outcome<TrialView, LabError>> {
  const day = await keptDay(session, id);
  if (!day.ok) return day;
  const found = findTrial(day.value, trial);
  if (!found.ok) return found;
  const entry = found.value;
  const { trace, films, result, progress, evidence } = await trialOutcome(session, day.value, entry);
  const { book } = day.value;
  const place = book.trials.indexOf(entry);
  const marked = book.trials.map((one) => ({
    trial: one.row.trial as string,
    isMarked: markingOf(one).marks.length > 0,
  }));
  const toMark = nextToMark(session, id, marked, trial);
  const decided = decisionsOn(session, id).get(trial);
  const names = namesHidden(session, id);
  const { status, reason } = statusOf(entry, decided, names);
  const reported = reportedOn(session, id, trial);
  return done({
    dayId: id,
    day: day.value.row.day,
    trial: entry.row.trial,
    participant: entry.participant.participant,
    attempt: entry.row.attempt,
    condition: entry.row.condition,
    status,
    exclusionReason: reason,
    timingMethod: entry.row.timing_method,
    section: sectionOf(entry),
    protocol: book.day.protocol,
    poolLengthM: book.day.pool.lengthM,
    trace,
    films,
    result,
    progress,
    ...restsOn(day.value, entry, choicesOn(session, day.value)),
    inputs: inputsOf(day.value, entry),
    evidence,
    marking: markingOf(entry),
    reportedWhy: reported === null ? null : veiled(names, reported.reason),
    previousTrial: book.trials[place - 1]?.row.trial ?? null,
    nextTrial: book.trials[place + 1]?.row.trial ?? null,
    nextUnmarked: book.trials.find(({ row }) => row.trial === toMark)?.row.trial ?? null,
    canUndo: session.store.canUndo(id),
    canRedo: session.store.canRedo(id),
  });
}

/** Records a person's word on a trial. */
export async function decideTrial(
  session: Session,
  wish: {
    readonly day: number;
    readonly trial: string;
    readonly seen: TrialStatus;
    readonly status: TrialStatus;
    readonly reason: string;
  },
): Promise<Outcome<TrialView, LabError>> {
  if (wish.status === 'excluded' && wish.reason === '')
    return failed({
      code: 'bad_input',
      says: 'An excluded trial needs a reason.',
      todo: 'Write why it is left out, in a few words.',
    });
  const day = await keptDay(session, wish.day);
  if (!day.ok) return day;
  const found = findTrial(day.value, wish.trial);
  if (!found.ok) return found;
  const decided = decisionsOn(session, wish.day).get(wish.trial);
  if (statusOf(found.value, decided, namesHidden(session, wish.day)).status !== wish.seen)
    return failed({
      code: 'changed_meanwhile',
      says: `Another window has decided on trial ${wish.trial} in the meantime.`,
      todo: 'Look at what stands there now, then decide again.',
    });
  const says = {
    recorded: `Trial ${wish.trial} back to recorded`,
    accepted: `Trial ${wish.trial} accepted`,
    excluded: `Trial ${wish.trial} excluded: ${wish.reason}`,
  }[wish.status];
  const kept = decide(session, {
    day: wish.day,
    trial: wish.trial,
    subject: STATUS,
    key: wish.trial,
    after: { status: wish.status, reason: wish.status === 'excluded' ? wish.reason : null },
    says,
  });
  return kept.ok ? viewTrial(session, wish.day, wish.trial) : kept;
}

/** Every decision of a day; of swimmers who withdrew or do not consent, only that there was one. */
export async function historyOf(session: Session, day: number): Promise<readonly HistoryEntry[]> {
  const history = session.store.history(day);
  const names = await namesEverHidden(session, day, history);
  return history.map((decision) => toEntry(decision, names));
}

/** Takes back, or brings back, one decision of a day. */
export async function turnBack(
  session: Session,
  day: number,
  way: 'undo' | 'redo',
): Promise<Outcome<HistoryEntry | null, LabError>> {
  const turned = session.store[way](day, operatorOf(session), now());
  if (!turned.ok) return storeFault(turned.error);
  if (turned.value === null) return done(null);
  const names = await namesEverHidden(session, day, session.store.history(day));
  return done(toEntry(turned.value, names));
}

/** A decision as it may be told: of one about somebody hidden, only that there was one. */
export function toEntry({ id, trial, says, who, at, undone }: Decision, names: Names): HistoryEntry {
  const hidden = names(says) || names(trial ?? '');
  return {
    id,
    trial: trial === null || hidden ? null : veiled(names, trial),
    says: hidden ? HIDDEN_DECISION : veiled(names, says),
    who,
    at,
    undone: undone !== null,
  };
}
