/**
 * Numbers that another version of the program computed stay as they were kept until a person takes those of this
 * version over. Here they are computed anew beside the kept ones, and what differs is told: which number of which trial,
 * and why.
 */
import type { RenewalView, RenewedTrial } from '../../../core/contract/renewal.ts';
import { done, failed, type LabError, type Outcome } from '../../../core/base/refusal.ts';
import { counted } from '../../../core/base/words.ts';
import { numberDifferences, whyChanged } from '../../../core/dataset/renewal.ts';
import type { TrialEntry } from '../../../core/day/book.ts';
import { decide } from '../kept/decide.ts';
import { evidenceOf } from '../kept/evidence.ts';
import type { Done, Progress } from '../kept/jobs.ts';
import { keptDay, type KeptDay } from '../kept/keptday.ts';
import { computeTrial, keepOutcome, keptOutcome, type TrialOutcome } from '../kept/outcome.ts';
import { storeFault, type Session } from '../kept/session.ts';

/** Subject of the lab's decisions to take numbers over; the key is the version. */
const TAKEN = 'numbers.taken';

/** What a screen is given at most. */
const MOST_TRIALS = 200;
const MOST_NUMBERS = 100;

/** A trial held against what is kept of it. */
interface Held {
  /** `same` and `other` (its inputs have changed too) are kept as this version's; `damaged` stays as it was kept. */
  readonly came: 'same' | 'other' | 'differs' | 'damaged';
  readonly found: RenewedTrial | null;
  readonly outcome: TrialOutcome | null;
}

/** Computes a trial beside what is kept of it; where no number differs it is kept as this version's. */
export async function holdAgainst(
  session: Session,
  day: KeptDay,
  entry: TrialEntry,
): Promise<Outcome<Held, LabError>> {
  const isDamaged = async () => (await evidenceOf(session, day, entry, 'checked')).length > 0;
  const damaged: Held = { came: 'damaged', found: null, outcome: null };
  if (await isDamaged()) return done(damaged);
  const kept = keptOutcome(session, day, entry);
  const outcome = await computeTrial(session, day, entry);
  // A file may have changed between its check and its reading.
  if (await isDamaged()) return done(damaged);
  const differences =
    kept === null
      ? []
      : numberDifferences(
          { entry, day: day.book.day, result: kept.result },
          // As it would be kept: what JSON does to a number is no change of the program.
          { entry, day: day.book.day, result: (JSON.parse(JSON.stringify(outcome)) as TrialOutcome).result },
        );
  if (kept === null || differences.length === 0) {
    const put = keepOutcome(session, day, entry, outcome);
    if (!put.ok) return storeFault(put.error);
    return done({ came: kept === null ? 'other' : 'same', found: null, outcome });
  }
  const found: RenewedTrial = {
    day: day.row.day,
    trial: entry.row.trial,
    from: kept.version,
    numbers: differences.slice(0, MOST_NUMBERS).map((one) => ({
      ...one,
      why: whyChanged(one.column, kept.version, session.version),
    })),
    more: Math.max(0, differences.length - MOST_NUMBERS),
  };
  return done({ came: 'differs', found, outcome });
}

/** What holding the kept numbers of a lab against this program came to. */
export class Renewal {
  private readonly session: Session;
  private says: string | null = null;
  private trials: RenewedTrial[] = [];
  private differing = 0;

  constructor(session: Session) {
    this.session = session;
  }

  view(): RenewalView {
    const { store, version } = this.session;
    return {
      version,
      waiting: store.resultsOfOthers(version),
      says: this.says,
      trials: this.trials,
      more: this.differing - this.trials.length,
      taken: store
        .history(null)
        .filter(({ subject }) => subject === TAKEN)
        .map(({ says, who, at }) => ({ says, who, at })),
    };
  }

  /** True where a comparison has found numbers that differ. */
  get differs(): boolean {
    return this.differing > 0;
  }

  /** @param onTrial told of every trial that differs, in order */
  async compare(
    progress: Progress,
    onTrial: (trial: RenewedTrial) => void = () => undefined,
  ): Promise<Outcome<Done, LabError>> {
    const counts = { same: 0, other: 0, differs: 0, damaged: 0 };
    const found: RenewedTrial[] = [];
    const went = await this.each(progress, async (day, entry) => {
      const held = await holdAgainst(this.session, day, entry);
      if (!held.ok) return held;
      counts[held.value.came] += 1;
      if (held.value.found !== null) {
        if (found.length < MOST_TRIALS) found.push(held.value.found);
        onTrial(held.value.found);
      }
      return done(null);
    });
    if (!went.ok) return went;
    this.trials = found;
    this.differing = counts.differs;
    this.says = sentence(counts, this.session.version);
    return done({ day: null, says: this.says });
  }

  /** Puts this version's numbers in place of the kept ones, and writes down who did. */
  async take(progress: Progress): Promise<Outcome<Done, LabError>> {
    const { session } = this;
    const { version } = session;
    const from = session.store.resultsOfOthers(version);
    if (from.length === 0)
      return failed({
        code: 'not_found',
        says: `There are no kept numbers of another version than ${version}.`,
        todo: 'Nothing is to be taken over.',
      });
    const before = from.map((one) => `${one.version} (${counted(one.trials, 'trial')})`).join(', ');
    const says = `Numbers of version ${version} taken over in place of those of ${before}`;
    const decided = decide(session, {
      day: null,
      trial: null,
      subject: TAKEN,
      key: version,
      after: from,
      says,
    });
    if (!decided.ok) return decided;
    const went = await this.each(progress, async (day, entry) => {
      const held = await holdAgainst(session, day, entry);
      if (!held.ok) return held;
      const { outcome, came } = held.value;
      if (came !== 'differs' || outcome === null) return done(null);
      const put = keepOutcome(session, day, entry, outcome);
      return put.ok ? done(null) : storeFault(put.error);
    });
    if (!went.ok) return went;
    [this.says, this.trials, this.differing] = [null, [], 0];
    return done({ day: null, says: `${says}.` });
  }

  /** Every trial whose kept numbers another version computed; what is kept of trials that are gone is let go. */
  private async each(
    progress: Progress,
    work: (day: KeptDay, entry: TrialEntry) => Promise<Outcome<null, LabError>>,
  ): Promise<Outcome<null, LabError>> {
    const { store, version } = this.session;
    progress.total(store.resultsOfOthers(version).reduce((sum, { trials }) => sum + trials, 0));
    for (const { id } of store.listDays()) {
      const others = store.resultVersions(id).filter((kept) => kept.version !== version);
      if (others.length === 0) continue;
      const day = await keptDay(this.session, id);
      if (!day.ok) return day;
      const entries = new Map<string, TrialEntry>(
        day.value.book.trials.map((entry) => [entry.row.trial, entry]),
      );
      for (const { trial } of others) {
        progress.signal.throwIfAborted();
        const entry = entries.get(trial);
        if (entry === undefined) {
          const dropped = store.dropResult(id, trial);
          if (!dropped.ok) return storeFault(dropped.error);
        } else {
          const went = await work(day.value, entry);
          if (!went.ok) return went;
        }
        progress.step();
      }
    }
    return done(null);
  }
}

function sentence(
  counts: {
    readonly same: number;
    readonly other: number;
    readonly differs: number;
    readonly damaged: number;
  },
  version: string,
): string {
  const { same, other, differs, damaged } = counts;
  const parts = [
    `${counted(same + other + differs + damaged, 'trial')} held against version ${version}`,
    `${counted(differs, 'trial')} with numbers that differ`,
    `${same} without a difference`,
    ...(other > 0 ? [`${other} whose inputs have changed since, computed anew`] : []),
    ...(damaged > 0 ? [`${damaged} left as kept, for files that they rest on are damaged`] : []),
  ];
  return `${parts.join('; ')}. ${differs > 0 ? 'What is kept stays until it is taken over.' : 'Nothing is to be taken over.'}`;
}

/** Why a day is not frozen while numbers of its trials are another version's; null where they are not. */
export async function notTakenOver(
  session: Session,
  day: KeptDay,
  entry: TrialEntry,
  version: string,
): Promise<LabError | null> {
  if (version === session.version) return null;
  const held = await holdAgainst(session, day, entry);
  if (!held.ok) return held.error;
  if (held.value.came !== 'differs') return null;
  return {
    code: 'bad_input',
    says: `The day ${day.row.day} was not frozen: version ${session.version} of the program computes other numbers of trial ${entry.row.trial} than those kept by version ${version}.`,
    todo: 'See what differs and take it over first: "lanebench renew", or Program versions on the screens of findings.',
  };
}
