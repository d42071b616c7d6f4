/**
 * The results of a kept day's trials: computed once, and again only when something they came from changed; with what
 * of their evidence is damaged, and the views of trace and films that go with them.
 */
import { createHash } from 'node:crypto';
import type { LabError } from '../../../core/base/refusal.ts';
import { HANDS, type Hand } from '../../../core/base/hand.ts';
import { readingUnit, sensorWorn, type TrialEntry } from '../../../core/day/book.ts';
import { codecFault } from '../../../core/arrival/codec.ts';
import { done, type Outcome, type Refusal } from '../../../core/base/refusal.ts';
import type { SampledTrace } from '../../../core/force/trace.ts';
import { longGaps } from '../../../core/force/gaps.ts';
import { markingProgress, type MarkingProgress } from '../../../core/trial/progress.ts';
import { analyseTrial } from '../../../core/trial/trial.ts';
import { type TrialSeries, type TrialInput, type TrialResult } from '../../../core/trial/result.ts';
import { cameraOnTrial, clocksOf, MADE_HERE } from '../../../core/marking/marking.ts';
import type { EvidenceFault, FilmView, InputView, TraceView } from '../../../core/contract/views.ts';
import { insidePath } from '../../files/source.ts';
import { evidenceOf, type Look } from './evidence.ts';
import { rememberSeries, rememberTrial } from './memory.ts';
import { inputOf, type TrialReading } from './process.ts';
import { RESULT_VERSION, readResult } from '../shapes/result.ts';
import { now, type Session } from './session.ts';
import { keptDay, type KeptDay } from './keptday.ts';

/** What is kept of a computed trial. */
export interface TrialOutcome {
  readonly result: TrialResult;
  readonly progress: MarkingProgress;
  readonly trace: TraceView | null;
  readonly films: readonly FilmView[];
  readonly refused: readonly Refusal[];
}

/** A trial's outcome with what of its evidence is damaged. */
export interface CheckedOutcome extends TrialOutcome {
  readonly evidence: readonly EvidenceFault[];
  /** The program that computed it. */
  readonly version: string;
}

/** Every trial's outcome, in the order of trials.csv; `onTrial` is told of each. */
export async function trialOutcomes(
  session: Session,
  id: number,
  onTrial: () => void = () => undefined,
  look: Look = 'checked',
): Promise<Outcome<{ readonly day: KeptDay; readonly outcomes: readonly CheckedOutcome[] }, LabError>> {
  const day = await keptDay(session, id);
  if (!day.ok) return day;
  const outcomes: CheckedOutcome[] = [];
  for (const entry of day.value.book.trials) {
    outcomes.push(await trialOutcome(session, day.value, entry, look));
    onTrial();
  }
  return done({ day: day.value, outcomes });
}

/**
 * One trial's outcome: the kept one where nothing it came from changed, whichever version of the program computed it
 * (only a person puts the numbers of another version in its place, `findings/renewal.ts`), else computed, and kept where
 * that can be. What it rests on is checked first; numbers made while it was whole are shown with what is damaged since,
 * and none are made from what is damaged.
 */
export async function trialOutcome(
  session: Session,
  day: KeptDay,
  entry: TrialEntry,
  look: Look = 'checked',
): Promise<CheckedOutcome> {
  const evidence = await evidenceOf(session, day, entry, look);
  const known = keptOutcome(session, day, entry);
  if (known !== null) return { ...known, evidence };
  const { version } = session;
  const outcome = await computeTrial(session, day, entry);
  // Computing has read every file, so that to look again costs little; one may have changed since it was looked at.
  const after = await evidenceOf(session, day, entry, 'checked');
  if (after.length > evidence.length)
    return { ...(await computeTrial(session, day, entry)), version, evidence: after };
  if (after.length > 0) return { ...outcome, version, evidence: after };
  // Keeping it spares computing it again, no more: numbers are shown also where the disk is full.
  keepOutcome(session, day, entry, outcome);
  return { ...outcome, version, evidence };
}

/** The kept outcome of a trial, with the version that computed it; null where anything it came from has changed. */
export function keptOutcome(
  { store }: Session,
  day: KeptDay,
  entry: TrialEntry,
): (TrialOutcome & { readonly version: string }) | null {
  const kept = store.getResult(day.row.id, entry.row.trial);
  if (kept === null || fingerprintOf(kept.version, day, entry) !== kept.fingerprint) return null;
  const known = readResult<TrialOutcome>(kept.json);
  return known === null ? null : { ...known, version: kept.version };
}

/** Keeps what this program came to in place of what was kept before. */
export function keepOutcome(
  { store, version }: Session,
  day: KeptDay,
  entry: TrialEntry,
  outcome: TrialOutcome,
): ReturnType<Session['store']['putResult']> {
  return store.putResult({
    day: day.row.id,
    trial: entry.row.trial,
    fingerprint: fingerprintOf(version, day, entry),
    version,
    inputs: inputsOf(day, entry),
    json: JSON.stringify(outcome),
    at: now(),
  });
}

/** Computes a trial; nothing is kept. */
export async function computeTrial(session: Session, day: KeptDay, entry: TrialEntry): Promise<TrialOutcome> {
  const reading = await rememberTrial(session, day, entry);
  const { input, refused } = inputOf(day.book, entry, reading);
  const forces = rememberSeries(reading, input);
  const unit = (hand: Hand) => readingUnit(day.book.day, entry.row, hand);
  const units = { left: unit('left'), right: unit('right') };
  return {
    result: analyseTrial(input, forces),
    progress: markingProgress(input, forces),
    trace: reading.trace === null ? null : traceView(reading.trace, input, forces, units),
    films: filmViews(entry, reading),
    refused: [...reading.refused, ...refused.map(withoutLine)],
  };
}

/** A mark made in the app stands on no line of a file. */
function withoutLine(refusal: Refusal): Refusal {
  return refusal.line === MADE_HERE ? { ...refusal, line: null } : refusal;
}

/** Everything a trial's numbers rest on, as one hash: it changes when any of it does. */
export function fingerprintOf(version: string, { book, hashes }: KeptDay, entry: TrialEntry): string {
  const { status: _status, exclusion_reason: _reason, ...row } = entry.row;
  const paths = [row.trace, ...[...entry.films.values()].map(({ file }) => file)].flatMap(
    (path) => path ?? [],
  );
  const sensors = HANDS.map((hand) => {
    const sensor = sensorWorn(book.day, entry.row, hand);
    if (sensor === null) return null;
    const [calibration, zeros, checks] = [book.calibrations, book.dayZeros, book.checks].map(
      (all) => all.get(sensor) ?? null,
    );
    return { calibration, zeros, checks };
  });
  const basis = {
    version,
    shape: RESULT_VERSION,
    day: book.day,
    entry: { ...entry, row, films: [...entry.films], pairs: [...entry.pairs], zeros: [...entry.zeros] },
    sensors,
    files: paths.map((path) => hashes.get(insidePath(path) ?? '') ?? null),
  };
  return createHash('sha256').update(JSON.stringify(basis)).digest('hex');
}

/** The inputs that a trial's numbers came from. */
export function inputsOf({ book, hashes }: KeptDay, entry: TrialEntry): readonly InputView[] {
  const { row } = entry;
  const sensors = HANDS.flatMap((hand) => sensorWorn(book.day, row, hand) ?? []);
  const list: (readonly [string, string | null, boolean])[] = [
    ['Protocol, sensors and cameras', 'day.json', true],
    ['Swimmer, consent and hand areas', 'roster.csv', true],
    ['Section times and files', 'trials.csv', true],
    ['Pressure of both hands', row.trace, true],
    [
      'Calibration of ' + sensors.join(' and '),
      'calibration.csv',
      sensors.some((code) => book.calibrations.has(code)),
    ],
    ['Zero readings', 'zeros.csv', entry.zeros.size > 0 || sensors.some((code) => book.dayZeros.has(code))],
    ['Known pressures', 'checks.csv', sensors.some((code) => book.checks.has(code))],
    ['Moments on both clocks', 'sync.csv', entry.pairs.size > 0],
    ['Marks', 'events.csv', entry.events.length > 0],
    ['Judgements of strokes', 'strokes.csv', entry.judgements.length > 0],
    ...[...entry.films].map(([camera, { file }]) => [`Film of camera ${camera}`, file, true] as const),
  ];
  return list.flatMap(([what, file, used]) => {
    const inside = file === null ? null : insidePath(file);
    const sha256 = inside === null ? undefined : hashes.get(inside);
    return used && inside !== null && sha256 !== undefined ? [{ what, file: inside, sha256 }] : [];
  });
}

function traceView(
  trace: SampledTrace,
  input: TrialInput,
  forces: TrialSeries,
  units: TraceView['units'],
): TraceView {
  const gaps = (hand: 'left' | 'right') => {
    const channel = trace[hand];
    if (channel === null) return [];
    return longGaps(channel, trace.rateHz, input.protocol.accept.maxGapMs ?? 0).map(({ first, last }) => ({
      startS: trace.startS + first / trace.rateHz,
      endS: trace.startS + last / trace.rateHz,
    }));
  };
  return {
    startS: trace.startS,
    rateHz: trace.rateHz,
    count: trace.count,
    gaps: { left: gaps('left'), right: gaps('right') },
    hasForce: { left: forces.left.forceN !== null, right: forces.right.forceN !== null },
    units,
  };
}

function filmViews(entry: TrialEntry, reading: TrialReading): readonly FilmView[] {
  const lines = clocksOf(entry.pairs);
  return [...entry.films].map(([camera, { file }]) => {
    const film = reading.films.get(camera);
    const clock = cameraOnTrial(camera, lines, reading.trace !== null);
    const fault = reading.refused.find((refusal) => refusal.file === file)?.reason;
    return {
      camera,
      file,
      frameTimesS: film?.frameTimesS ?? [],
      frameIntervalS: film?.frameIntervalS ?? null,
      codec: film?.codec ?? null,
      widthPx: film?.widthPx ?? 0,
      heightPx: film?.heightPx ?? 0,
      clock: clock === null ? null : { offsetS: clock.offsetS, rate: clock.rate },
      fault:
        film === undefined
          ? (fault ?? `${file} is not in the lab folder; open the day again.`)
          : codecFault(file, film.codec),
    };
  });
}

/** Force samples of one hand for drawing, N, or null where there are none. */
export async function forceSamples(
  session: Session,
  day: KeptDay,
  entry: TrialEntry,
  hand: 'left' | 'right',
): Promise<Float64Array | null> {
  const reading = await rememberTrial(session, day, entry);
  return rememberSeries(reading, inputOf(day.book, entry, reading).input)[hand].forceN;
}

/** Raw samples of one hand on the trace's grid, in the sensor's raw unit, or null where there are none. */
export async function rawSamples(
  session: Session,
  day: KeptDay,
  entry: TrialEntry,
  hand: 'left' | 'right',
): Promise<Float64Array | null> {
  const reading = await rememberTrial(session, day, entry);
  return reading.trace?.[hand]?.raw ?? null;
}
