/** How far the raters of a day agree: those of its files, and second opinions that are done. */
import type { Correlation, Limits } from '../../../core/rater/agreement.ts';
import { clusteredAgreement, clusteredIntraclass, ONE_SWIMMER } from '../../../core/rater/clustered.ts';
import type { LabError } from '../../../core/base/refusal.ts';
import type { TrialEntry } from '../../../core/day/book.ts';
import { crossTable, kappaOf, type Kappa } from '../../../core/rater/kappa.ts';
import { eventRows, strokeRows, type Opinion, type Rater } from '../../../core/marking/overlay.ts';
import {
  basisDoubt,
  compareEntries,
  compareRaters,
  MATCHING,
  type Compared,
  type TwiceRated,
} from '../../../core/rater/match.ts';
import { done, type Outcome } from '../../../core/base/refusal.ts';
import type { AgreementView, Limited, RatingAgreementView } from '../../../core/contract/review.ts';
import type { TrialResult } from '../../../core/trial/result.ts';
import { opinionsOn } from '../kept/blindsessions.ts';
import type { Session } from '../kept/session.ts';
import { keptDay } from '../kept/keptday.ts';
import { computeTrial } from '../kept/outcome.ts';

type PairView = AgreementView['pairs'][number];

interface RatedTrial {
  readonly trial: string;
  readonly swimmer: string;
  readonly results: ReadonlyMap<Rater, TrialResult>;
}

export async function viewAgreement(session: Session, id: number): Promise<Outcome<AgreementView, LabError>> {
  const day = await keptDay(session, id);
  if (!day.ok) return day;
  const opinions = opinionsOn(session, id);
  const rated: RatedTrial[] = [];
  for (const entry of day.value.book.trials) {
    const { trial } = entry.row;
    const entries = byRater(entry, opinions.get(trial) ?? []);
    if (entries.size < 2) continue;
    const results = new Map<Rater, TrialResult>();
    for (const [rater, own] of entries)
      results.set(rater, (await computeTrial(session, day.value, own)).result);
    rated.push({ trial, swimmer: entry.row.participant, results });
  }
  // By code, so that a difference keeps its sign whoever is reported.
  const raters = [...new Set(rated.flatMap(({ results }) => [...results.keys()]))].toSorted((a, b) =>
    (a ?? '') < (b ?? '') ? -1 : 1,
  );
  const pairs = raters.flatMap((first, index) =>
    raters.slice(index + 1).flatMap((second) => pairView(first, second, rated) ?? []),
  );
  return done({ day: id, matching: MATCHING, pairs });
}

/** The trial as each of its raters marked it; a second opinion as it was given, whatever was edited in it since. */
function byRater(entry: TrialEntry, opinions: readonly Opinion[]): ReadonlyMap<Rater, TrialEntry> {
  const { trial } = entry.row;
  const raters = new Set(entry.events.map(({ value }) => value.rater));
  return new Map(
    [...raters].map((rater) => {
      const given = opinions.find((opinion) => opinion.rater === rater);
      const own =
        given === undefined
          ? {
              events: entry.events.filter(({ value }) => value.rater === rater),
              judgements: entry.judgements.filter(({ value }) => value.rater === rater),
            }
          : {
              events: eventRows(trial, rater, given.marks),
              judgements: strokeRows(trial, rater, given.judgements),
            };
      return [rater, { ...entry, ...own }] as const;
    }),
  );
}

function pairView(first: Rater, second: Rater, rated: readonly RatedTrial[]): PairView | null {
  const trials: string[] = [];
  const twice: TwiceRated[] = [];
  for (const { trial, swimmer, results } of rated) {
    const [one, other] = [results.get(first), results.get(second)];
    if (one === undefined || other === undefined) continue;
    trials.push(trial);
    twice.push({ swimmer, first: one, second: other });
  }
  if (trials.length === 0) return null;
  return {
    first: first ?? 'no code',
    second: second ?? 'no code',
    trials,
    basisSays: basisDoubt(twice),
    values: compareRaters(twice).map(valueView),
    ...entryView(compareEntries(twice)),
  };
}

const NO_SPREAD_OF_SUBJECTS =
  'An intraclass correlation sets raters against the spread between subjects; moments along a trial have none, so it is left out.';

function valueView({ name, unit, isMoment, pairs }: Compared): PairView['values'][number] {
  const agreed = clusteredAgreement(pairs);
  if (!agreed.ok) return { name, unit, agreement: null, points: [], reason: agreed.error.says };
  const { swimmers, bias, biasLimits, agreement, lowerLimits, upperLimits, typicalError } = agreed.value;
  const correlated = isMoment ? null : clusteredIntraclass(pairs);
  const reason =
    correlated === null
      ? NO_SPREAD_OF_SUBJECTS
      : correlated.ok
        ? swimmers === 1
          ? ONE_SWIMMER
          : null
        : correlated.error.says;
  const within = correlated?.ok === true ? correlated.value : null;
  return {
    name,
    unit,
    agreement: {
      n: pairs.length,
      swimmers,
      bias: limited(bias, biasLimits),
      lowerLimit: limited(agreement.lower, lowerLimits),
      upperLimit: limited(agreement.upper, upperLimits),
      typicalError,
      icc21: within && correlation(within.icc21),
      icc31: within && correlation(within.icc31),
    },
    points: pairs.map(({ first, second }) => ({ first, second })),
    reason,
  };
}

function limited(value: number, limits: Limits | null): Limited {
  if (limits === null) return { value, low: null, high: null };
  const { lower, upper } = limits;
  return { value, low: finite(lower), high: finite(upper) };
}

function correlation({ value, limits }: Correlation): Limited {
  return limited(value, limits);
}

function finite(value: number): number | null {
  return Number.isFinite(value) ? value : null;
}

const POSITIONS = ['above', 'level', 'below'] as const;

function entryView(pairs: ReturnType<typeof compareEntries>): Pick<PairView, 'entry' | 'entryReason'> {
  const table = crossTable(pairs, POSITIONS);
  const plain = kappaOf(table, 'none');
  const weighted = kappaOf(table, 'linear');
  const entryReason = plain.ok ? null : plain.error.says;
  if (pairs.length === 0) return { entry: null, entryReason };
  const entry: RatingAgreementView = {
    n: pairs.length,
    agreedPct: (100 * pairs.filter(([one, other]) => one === other).length) / pairs.length,
    kappa: plain.ok ? kappa(plain.value) : null,
    weightedKappa: weighted.ok ? kappa(weighted.value) : null,
  };
  return { entry, entryReason };
}

function kappa(found: Kappa): Limited {
  return limited(found.value, found.limits);
}
