/** The rule for calibrations of a day: seen, tried without keeping anything, and kept. */
import type { ChoicePreview, ChoiceView } from '../../../core/contract/bench.ts';
import type { CalibrationRule } from '../../../core/sensor/choice.ts';
import type { LabError } from '../../../core/base/refusal.ts';
import { HANDS, type Hand } from '../../../core/base/hand.ts';
import { sensorWorn, type Daybook } from '../../../core/day/book.ts';
import { done, failed, type Outcome } from '../../../core/base/refusal.ts';
import { analyseTrial } from '../../../core/trial/trial.ts';
import { chooseFor } from '../kept/choice.ts';
import { RULE } from '../kept/decided.ts';
import { inputOf, readTrialFiles } from '../kept/process.ts';
import { readRegister } from '../kept/register.ts';
import { decide } from '../kept/decide.ts';
import type { Session } from '../kept/session.ts';
import { laidOver, keptDay, type KeptDay } from '../kept/keptday.ts';
import { trialOutcome } from '../kept/outcome.ts';

export async function viewChoice(session: Session, id: number): Promise<Outcome<ChoiceView, LabError>> {
  const day = await keptDay(session, id);
  return day.ok ? done(choiceView(session, day.value, day.value.rule)) : day;
}

function choiceView(session: Session, { row, own }: KeptDay, rule: CalibrationRule): ChoiceView {
  const choices = [...chooseFor(readRegister(session), own, rule).values()];
  const sensors = choices.map(({ sensor, says, from }) => ({ sensor, says, from }));
  return { day: row.id, rule, sensors };
}

/** What another rule would change in every trial's peak forces. */
export async function tryRule(
  session: Session,
  id: number,
  rule: CalibrationRule,
): Promise<Outcome<ChoicePreview, LabError>> {
  const kept = await keptDay(session, id);
  if (!kept.ok) return kept;
  const day = kept.value;
  const book = laidOver(session, id, day.own, rule);
  const changes: ChoicePreview['changes'][number][] = [];
  for (const [index, entry] of day.book.trials.entries()) {
    const { result } = await trialOutcome(session, day, entry);
    const before = result.hands;
    const after = await peaksBy(day, book, index);
    for (const hand of HANDS) {
      if (sensorWorn(book.day, entry.row, hand) === null) continue;
      const [peakBeforeN, peakAfterN] = [before[hand].peakForce?.value ?? null, after[hand]];
      const changePct =
        peakBeforeN === null || peakBeforeN === 0 || peakAfterN === null
          ? null
          : 100 * (peakAfterN / peakBeforeN - 1);
      changes.push({ trial: entry.row.trial, hand, peakBeforeN, peakAfterN, changePct });
    }
  }
  return done({ choice: choiceView(session, day, rule), changes });
}

/** Peak forces of a trial; films are left unread, for they bear on uncertainties only. */
async function peaksBy(
  { source }: KeptDay,
  book: Daybook,
  index: number,
): Promise<Readonly<Record<Hand, number | null>>> {
  const entry = book.trials[index]!;
  const reading = await readTrialFiles(source, book, { ...entry, films: new Map() });
  const { hands } = analyseTrial(inputOf(book, entry, reading).input);
  return { left: hands.left.peakForce?.value ?? null, right: hands.right.peakForce?.value ?? null };
}

const RULE_WORDS: Readonly<Record<CalibrationRule, string>> = {
  day: 'the day folder’s own',
  latest: 'the latest accepted before the trial',
  interpolated: 'straight between the accepted ones before and after the day',
};

export async function keepRule(
  session: Session,
  wish: { readonly day: number; readonly rule: CalibrationRule; readonly seen: CalibrationRule },
): Promise<Outcome<ChoiceView, LabError>> {
  const day = await keptDay(session, wish.day);
  if (!day.ok) return day;
  if (day.value.rule !== wish.seen)
    return failed({
      code: 'changed_meanwhile',
      says: 'Another window has chosen another rule for this day meanwhile.',
      todo: 'Look at the rule that stands now, then choose again.',
    });
  if (wish.rule === wish.seen) return done(choiceView(session, day.value, wish.rule));
  const decided = decide(session, {
    day: wish.day,
    trial: null,
    subject: RULE,
    key: RULE,
    after: wish.rule,
    says: `Calibrations of this day: ${RULE_WORDS[wish.rule]}`,
  });
  return decided.ok ? viewChoice(session, wish.day) : decided;
}
