/** A lab in memory with second opinions: sessions that can be begun and ended, and two raters to compare. */
import { intraclass } from '../../../core/rater/agreement.ts';
import { clusteredAgreement } from '../../../core/rater/clustered.ts';
import { blindOrder } from '../../../core/base/drawnorder.ts';
import type { LabClient } from '../../../core/contract/contract.ts';
import { done, failed } from '../../../core/base/refusal.ts';
import type { AgreementView, BlindSession } from '../../../core/contract/review.ts';
import { Desk } from '../../../renderer/desk.svelte.ts';
import { dayView } from '../fixture.ts';
import { trialView } from '../review/fixture.ts';

/**
 * Peak expiratory flow of 17 people by two meters, l/min (Bland & Altman 1986, Lancet i:307–310, table; first
 * readings, from memory): the differences have a mean of −2.1 and a standard deviation of 38.8.
 */
export const FLOW = [
  [494, 512],
  [395, 430],
  [516, 520],
  [434, 428],
  [476, 500],
  [557, 600],
  [413, 364],
  [442, 380],
  [650, 658],
  [433, 445],
  [417, 432],
  [656, 626],
  [267, 260],
  [478, 477],
  [178, 259],
  [423, 350],
  [427, 451],
].map(([large, mini]) => ({ first: mini!, second: large! }));

/** The agreement of two raters, as the lab tells it. */
export function agreementView(): AgreementView {
  // Each pair is of a person of its own.
  const agreed = clusteredAgreement(FLOW.map((pair, k) => ({ ...pair, swimmer: `P${k}` })));
  const within = intraclass(FLOW.map(({ first, second }) => [first, second]));
  if (!agreed.ok || !within.ok) throw new Error('The published data give no agreement.');
  const { bias, biasLimits, agreement, lowerLimits, upperLimits, typicalError } = agreed.value;
  const limited = (value: number, limits: { lower: number; upper: number } | null) => ({
    value,
    low: limits?.lower ?? null,
    high: limits?.upper ?? null,
  });
  const flow = {
    name: 'Peak force',
    unit: 'N',
    agreement: {
      n: FLOW.length,
      swimmers: FLOW.length,
      bias: limited(bias, biasLimits),
      lowerLimit: limited(agreement.lower, lowerLimits),
      upperLimit: limited(agreement.upper, upperLimits),
      typicalError,
      icc21: { value: within.value.icc21.value, low: 0.84, high: 0.98 },
      icc31: null,
    },
    reason: 'No spread.',
    points: FLOW,
  };
  const empty = {
    name: 'water_exit',
    unit: 's',
    agreement: null,
    reason: 'Agreement needs at least two values marked by both raters; there is one.',
  };
  return {
    day: 1,
    matching: 'Strokes are matched by their propulsion starts.',
    pairs: [
      {
        first: 'R1',
        second: 'R2',
        trials: ['T1'],
        basisSays: 'In the one trial one rater read propulsion from force.',
        values: [flow, empty] as AgreementView['pairs'][number]['values'],
        entry: {
          n: 20,
          agreedPct: 85,
          kappa: { value: 0.7, low: 0.4, high: 1 },
          weightedKappa: null,
        },
        entryReason: 'No weighted kappa.',
      },
    ],
  };
}

interface Wish {
  readonly agreement?: AgreementView;
  readonly sessions?: readonly BlindSession[];
  /** Whether the lab refuses to report another rater. */
  readonly refuses?: boolean;
}

/** A desk over that lab; `calls` holds what was asked for, in order. */
export function secondDesk({ agreement = agreementView(), sessions = [], refuses = false }: Wish = {}) {
  let kept = [...sessions];
  let reported: string | null = 'R1';
  let why: string | null = null;
  const calls: { name: string; input: unknown }[] = [];
  const answers: Record<string, (input: never) => unknown> = {
    'days.get': () => done(dayView()),
    'blind.list': () => done(kept),
    'blind.start': ({ rater, seed, trials }: { rater: string; seed: string; trials: string[] }) => {
      if (rater === 'R1')
        return failed({
          code: 'bad_input',
          says: 'R1 has marked trial T1 before.',
          todo: 'Take another code for the second opinion, such as R1-2.',
        });
      const items = blindOrder(trials, seed).map(({ label }, k) => ({ item: k + 1, label, marks: 0 }));
      const session = { id: kept.length + 1, rater, seed, items, closed: false };
      kept = [...kept, session];
      return done(session);
    },
    'blind.close': ({ session }: { session: number }) => {
      kept = kept.map((one) => (one.id === session ? { ...one, closed: true } : one));
      return done(kept.find(({ id }) => id === session));
    },
    'blind.get': ({ item }: { item: number }) => {
      const {
        participant: _p,
        condition: _c,
        attempt: _a,
        inputs: _i,
        status: _s,
        reportedWhy: _w,
        ...blind
      } = trialView();
      return done({ ...blind, trial: `blind~1~${item}`, session: 1, item });
    },
    'blind.marks': () => failed({ code: 'bad_input', says: 'Not here.', todo: 'Nothing.' }),
    'agreement.get': () => done(agreement),
    'trials.get': ({ trial }: { trial: string }) => {
      const view = trialView({ trial });
      return done({
        ...view,
        marking: { ...view.marking, rater: reported, raters: ['R1', 'R2'] },
        reportedWhy: why,
      });
    },
    'marks.adjudicate': ({
      rater,
      trial,
      reason,
    }: {
      rater: string | null;
      trial: string;
      reason: string;
    }) => {
      if (refuses)
        return failed({
          code: 'changed_meanwhile',
          says: 'Another window chose before.',
          todo: 'Look again.',
        });
      reported = rater;
      why = reason;
      return done(trialView({ trial }));
    },
  };
  const client = (async (name: string, input: never) => {
    calls.push({ name, input });
    return answers[name]!(input);
  }) as unknown as LabClient;
  return { desk: new Desk(client), client, calls };
}
