/** The zeros of a day's sensors: what was read around each trial, and zeros proposed from its trace. */
import type { DayZerosView, ZeroProposals, ZeroReadingView } from '../../../core/contract/bench.ts';
import type { LabError } from '../../../core/base/refusal.ts';
import { HANDS, type Hand } from '../../../core/base/hand.ts';
import { readingUnit, sensorWorn, type TrialEntry } from '../../../core/day/book.ts';
import { figures } from '../../../core/base/words.ts';
import { done, failed, type Outcome } from '../../../core/base/refusal.ts';
import { proposeZero, STILL_SD_KPA, type ZeroSearch } from '../../../core/force/zero.ts';
import { kpaScaleOf, shiftOf } from '../../../core/trial/hand.ts';
import { handOf } from '../../../core/trial/input.ts';
import { decidedOn, ZERO, zeroKey } from '../kept/decided.ts';
import { readTrialFiles } from '../kept/process.ts';
import { decide } from '../kept/decide.ts';
import type { Session } from '../kept/session.ts';
import { findTrial, keptDay, type KeptDay } from '../kept/keptday.ts';

/** A zero is read over one second, near the ends of the trace (common practice, no source). */
const LEAST_S = 1;
const WITHIN_S = 5;

export async function viewZeros(session: Session, id: number): Promise<Outcome<DayZerosView, LabError>> {
  const day = await keptDay(session, id);
  return day.ok ? done(zerosView(session, id, day.value)) : day;
}

function zerosView(session: Session, id: number, kept: KeptDay): DayZerosView {
  const { day, trials } = kept.book;
  const limitKpa = day.protocol.accept.maxZeroShiftKpa;
  const confirmed = decidedOn(session, id).zeros;
  const reading = (entry: TrialEntry, hand: Hand): ZeroReadingView[] => {
    const { trial } = entry.row;
    const { participant } = entry.participant;
    const sensor = sensorWorn(day, entry.row, hand);
    if (sensor === null) return [];
    const zeros = entry.zeros.get(sensor) ?? { before: null, after: null };
    const shiftKpa = shiftOf(handOf(kept.book, entry, hand));
    const origin = (when: 'before' | 'after') => {
      if (zeros[when] === null) return null;
      return confirmed.get(trial)?.get(sensor)?.[when] == null ? 'file' : 'confirmed';
    };
    return [
      {
        trial,
        participant,
        sensor,
        hand,
        ...zeros,
        unit: readingUnit(day, entry.row, hand),
        shiftKpa,
        beyond: shiftKpa === null || limitKpa === null ? null : Math.abs(shiftKpa) > limitKpa,
        origin: { before: origin('before'), after: origin('after') },
      },
    ];
  };
  return {
    day: id,
    readings: trials.flatMap((entry) => HANDS.flatMap((hand) => reading(entry, hand))),
    limitKpa,
    waterTemperatureC: day.pool.waterTemperatureC,
  };
}

/** Proposes zeros from the quiet stretches at both ends of a trial's trace. */
export async function proposeZeros(
  session: Session,
  wish: { readonly day: number; readonly trial: string; readonly hand: Hand },
): Promise<Outcome<ZeroProposals, LabError>> {
  const day = await keptDay(session, wish.day);
  if (!day.ok) return day;
  const found = findTrial(day.value, wish.trial);
  if (!found.ok) return found;
  const { book, source } = day.value;
  const entry = found.value;
  const sensor = sensorWorn(book.day, entry.row, wish.hand);
  const scale = kpaScaleOf(handOf(book, entry, wish.hand));
  if (sensor === null || scale === null)
    return nothing(
      sensor === null
        ? `It is not known which sensor the ${wish.hand} hand wore in ${wish.trial}.`
        : `Nothing brings the readings of sensor ${sensor} to kPa, so it is not known what quiet means in their unit.`,
      sensor === null
        ? 'Name it in day.json or trials.csv.'
        : 'Calibrate it, choose another rule, or type the zero.',
    );
  const { trace } = await readTrialFiles(source, book, { ...entry, films: new Map() });
  const channel = trace?.[wish.hand] ?? null;
  if (trace === null || channel === null)
    return nothing(
      `Trial ${wish.trial} has no samples of the ${wish.hand} hand.`,
      'Read the zero by hand and type it.',
    );
  // A filled stretch is a straight line and would pass for a hand that holds still.
  const raw = channel.raw.slice();
  for (const { first, last } of channel.gaps) raw.fill(NaN, first, last + 1);
  const search: ZeroSearch = {
    leastS: LEAST_S,
    withinS: WITHIN_S,
    mostSdRaw: STILL_SD_KPA * Math.abs(scale.sensitivityRawPerKpa),
  };
  const at = (where: 'start' | 'end') => {
    const proposed = proposeZero(raw, trace, where, search);
    return proposed.ok ? proposed.value : proposed.error;
  };
  return done({ start: at('start'), end: at('end') });
}

function nothing(says: string, todo: string) {
  return failed<LabError>({ code: 'not_found', says, todo });
}

/** Confirms a zero reading; null takes back to what the day's file says. */
export async function confirmZero(
  session: Session,
  wish: {
    readonly day: number;
    readonly trial: string;
    readonly sensor: string;
    readonly when: 'before' | 'after';
    readonly raw: number | null;
    readonly seen: number | null;
  },
): Promise<Outcome<DayZerosView, LabError>> {
  const { trial, sensor, when, raw } = wish;
  const day = await keptDay(session, wish.day);
  if (!day.ok) return day;
  const found = findTrial(day.value, trial);
  if (!found.ok) return found;
  const { day: about } = day.value.book;
  const worn = HANDS.some((hand) => sensorWorn(about, found.value.row, hand) === sensor);
  if (!worn)
    return nothing(`No hand wore sensor ${sensor} in trial ${trial}.`, 'Choose a sensor of the trial.');
  const limits = about.sensors.find((known) => known.sensor === sensor);
  const [least, most] = [limits?.rawMin ?? -Infinity, limits?.rawMax ?? Infinity];
  if (raw !== null && (raw < least || raw > most))
    return failed({
      code: 'bad_input',
      says: `The zero ${raw} lies outside the raw limits of sensor ${sensor} (${least} to ${most}).`,
      todo: 'Type the raw value again.',
    });
  if ((found.value.zeros.get(sensor)?.[when] ?? null) !== wish.seen)
    return failed({
      code: 'changed_meanwhile',
      says: `Another window has changed the zero of ${sensor} ${when} ${trial} meanwhile.`,
      todo: 'Look at what stands there now, then confirm again.',
    });
  const decided = decide(session, {
    day: wish.day,
    trial,
    subject: ZERO,
    key: zeroKey(trial, sensor, when),
    after: raw,
    says:
      raw === null
        ? `Zero of ${sensor} ${when} ${trial} back to what zeros.csv says`
        : `Zero of ${sensor} ${when} ${trial} confirmed: ${figures(raw, 6)}`,
  });
  return decided.ok ? viewZeros(session, wish.day) : decided;
}
