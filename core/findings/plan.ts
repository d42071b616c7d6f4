/**
 * The plan of a comparison: what is asked, of whom, and how it is to be answered. Contract: formats.md section 4.
 * A fault of the plan as a whole stops everything; a fault of a question costs that question alone.
 */
import { jsonFaultSays } from '../base/jsonfault.ts';
import { z } from 'zod';
import { failed, done, type Outcome } from '../base/refusal.ts';
import { meantText } from './nearest.ts';

export const PLAN_FORMAT = 'lanebench-plan/1';

export const UNITS = ['participant_mean', 'participant_best', 'trial'] as const;

export const TESTS = [
  'welch',
  'student',
  'paired',
  'equivalence',
  'mann_whitney',
  'wilcoxon',
  'welch_anova',
  'anova',
  'anova2',
  'kruskal',
  'chi_square',
  'fisher',
  'pearson',
  'spearman',
  'regression',
  'mixed',
  'repeatability',
] as const;

export type TestName = (typeof TESTS)[number];

const name = z.string().min(1, 'is empty');

/** A value of a column, compared as text. */
const value = z.union([z.string(), z.number(), z.boolean()]).transform(String);

const keep = z.strictObject({
  status: z.array(z.enum(['recorded', 'accepted', 'excluded'])).optional(),
  check: z.array(z.enum(['good', 'look', 'swim_again'])).optional(),
  where: z.record(name, z.array(value)).optional(),
});

const best = z.strictObject({ by: name, highest: z.boolean().default(true) });

const confidence = z.number().gt(0).lt(1);

const question = z.strictObject({
  id: name,
  kind: z.enum(['planned', 'exploratory']).default('exploratory'),
  /** The question in words, and why the test fits: for people, not for the computation. */
  words: z.string().optional(),
  why: z.string().optional(),
  test: z.enum(TESTS),
  outcome: name.optional(),
  by: z.union([name, z.array(name)]).optional(),
  groups: z.union([z.array(value), z.array(z.array(value))]).optional(),
  counts: z.array(name).optional(),
  on: name.optional(),
  margin: z.number().gt(0).optional(),
  squares: z.union([z.literal(2), z.literal(3)]).default(2),
  keep: keep.optional(),
  unit: z.enum(UNITS).optional(),
  best: best.optional(),
  confidence: confidence.optional(),
});

const plan = z.strictObject({
  format: z.literal(PLAN_FORMAT),
  name: z.string().default(''),
  stated: z.string().default(''),
  unit: z.enum(UNITS).default('participant_mean'),
  best: best.optional(),
  keep: keep.default({}),
  confidence: confidence.default(0.95),
  adjust: z.enum(['holm', 'bh', 'none']).default('holm'),
  questions: z.array(z.unknown()).min(1, 'asks nothing'),
});

export type Keep = z.output<typeof keep>;
export type Adjust = 'holm' | 'bh' | 'none';

/** A question with everything that it takes from the plan filled in. */
export type Question = Omit<z.output<typeof question>, 'keep' | 'unit' | 'confidence'> & {
  readonly keep: Keep;
  readonly unit: (typeof UNITS)[number];
  readonly confidence: number;
};

/** A question that cannot be asked as it stands. */
export interface FaultyQuestion {
  readonly id: string;
  /** One sentence or more. */
  readonly says: string;
}

export interface Plan {
  readonly name: string;
  readonly stated: string;
  readonly adjust: Adjust;
  readonly questions: readonly (Question | FaultyQuestion)[];
}

/** Whether a question could not be read; it is answered by its sentence. */
export function isFaulty(one: Question | FaultyQuestion): one is FaultyQuestion {
  return 'says' in one;
}

/** Reads a plan's text; the failure is a sentence. */
export function readPlan(text: string): Outcome<Plan, string> {
  let json: unknown;
  try {
    json = JSON.parse(text);
  } catch (error) {
    return failed(`The plan is not JSON: ${jsonFaultSays(error)}.`);
  }
  const read = plan.safeParse(json);
  if (!read.success)
    return failed(`The plan cannot be read: ${faultsOf(read.error, Object.keys(plan.shape))}.`);
  const { questions, ...rest } = read.data;
  const ids = new Set<string>();
  return done({
    ...rest,
    questions: questions.map((raw, index): Question | FaultyQuestion => {
      const own = question.safeParse(raw);
      const given = typeof raw === 'object' && raw !== null ? (raw as { id?: unknown }).id : undefined;
      const id = typeof given === 'string' && given !== '' ? given : `question ${index + 1}`;
      if (!own.success) return { id, says: `${sentence(faultsOf(own.error, Object.keys(question.shape)))}.` };
      if (ids.has(id))
        return { id, says: 'Another question before it has the same id; give it one of its own.' };
      ids.add(id);
      return {
        ...own.data,
        keep: own.data.keep ?? rest.keep,
        unit: own.data.unit ?? rest.unit,
        best: own.data.best ?? rest.best,
        confidence: own.data.confidence ?? rest.confidence,
      };
    }),
  });
}

function sentence(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** What a schema found wrong, each with its place. */
function faultsOf({ issues }: z.ZodError, keys: readonly string[]): string {
  return issues
    .map((issue) => {
      const place = issue.path.map(String).join('.');
      if (issue.code === 'unrecognized_keys') {
        const within = place === '' ? '' : ` in ${place}`;
        const known = place === '' ? keys : ['status', 'check', 'where', 'by', 'highest'];
        return issue.keys
          .map((key) => `there is no key "${key}"${within} (did you mean ${meantText(key, known)}?)`)
          .join('; ');
      }
      const what = issue.message.charAt(0).toLowerCase() + issue.message.slice(1);
      return place === '' ? `it takes an object (${what})` : `"${place}" is wrong (${what})`;
    })
    .join('; ');
}
