/** The mixed model's rows: coefficients with t on one number of degrees of freedom, and both standard deviations. */
import { tQuantile, tTwoSided } from './distributions.ts';
import { isDust } from './moments.ts';
import { fitMixed, type Trials } from './reml.ts';
import { around } from './ttests.ts';
import { done } from '../base/refusal.ts';
import { noAnswer, term, type Answer } from './term.ts';

/**
 * Group means with a random intercept per participant, by REML; the first group is the reference.
 * @param people trials by participant; @param names of the groups, in order
 */
export function mixed(people: readonly Trials[], names: readonly string[], confidence: number): Answer {
  const all = people.flat();
  if (names.length < 2) return noAnswer('A comparison needs two groups.');
  const empty = names.find((_, g) => !all.some(({ group }) => group === g));
  if (empty !== undefined) return noAnswer(`The group "${empty}" has no trial.`);
  if (!people.some((own) => own.length > 1))
    return noAnswer('No participant has two trials; the model needs them to tell swimmers from trials.');
  const isBetween = people.every((own) => own.every(({ group }) => group === own[0]!.group));
  const df = isBetween ? people.length - names.length : all.length - people.length - (names.length - 1);
  if (df < 1)
    return noAnswer(
      `${isBetween ? 'There are too few swimmers' : 'There are too few trials'} for ${names.length} groups.`,
    );
  const fit = fitMixed(people, names.length);
  const values = all.map(({ value }) => value);
  if (fit === null || isDust(fit.residualSd, values))
    return noAnswer('Trials of one swimmer do not differ; the model divides by their spread.');
  const half = tQuantile((1 + confidence) / 2, df);
  const rows = fit.coefficients.map((estimate, g) => {
    const se = fit.errors[g]!;
    const t = estimate / se;
    return term({
      term: g === 0 ? 'intercept' : names[g]!,
      statistic: t,
      df1: df,
      p: tTwoSided(t, df),
      estimate,
      limits: around(estimate, half * se),
    });
  });
  const isAtBound = fit.participantSd === 0;
  return done([
    ...rows,
    term({ term: 'participant_sd', estimate: fit.participantSd, notes: isAtBound ? ['at_bound'] : [] }),
    term({ term: 'residual_sd', estimate: fit.residualSd }),
  ]);
}
