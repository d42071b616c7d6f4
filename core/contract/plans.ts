/** The calls of the contract for plans of comparisons, and what they give to show. */
import { z } from 'zod';
import { code, plainCode } from '../base/codes.ts';
import type { Shown } from '../base/shown.ts';
import { TESTS, UNITS, type TestName } from '../findings/plan.ts';
import type { PlanDesign } from '../findings/planning.ts';
import { call, dayId, path } from './call.ts';

/** What is compared: days as they stand now, or a release. */
export type PlanSource = { readonly days: readonly number[] } | { readonly release: string };

const source: z.ZodType<PlanSource> = z.union([
  z.strictObject({ days: z.array(dayId).min(1) }),
  z.strictObject({ release: plainCode }),
]);

/** A question as the screen asks it; its kind is the lab's to say. */
export interface PlanQuestion {
  readonly id: string;
  readonly words: string;
  readonly why: string;
  readonly test: TestName;
  readonly outcome: string;
  readonly unit?: (typeof UNITS)[number] | undefined;
  readonly by?: string | undefined;
  readonly groups?: readonly string[] | undefined;
  readonly on?: string | undefined;
  readonly margin?: number | undefined;
}

const name = z.string().min(1).max(100);

const question: z.ZodType<PlanQuestion> = z.strictObject({
  id: plainCode,
  words: z.string().trim().min(1).max(500),
  why: z.string().trim().min(1).max(1000),
  test: z.enum(TESTS),
  outcome: name,
  unit: z.enum(UNITS).optional(),
  by: name.optional(),
  groups: z.array(z.string().max(200)).min(2).max(50).optional(),
  on: name.optional(),
  margin: z.number().positive().optional(),
});

/** A question with when it was first stated so, and whether that was before any answer of the plan was looked at. */
export interface StatedQuestion extends PlanQuestion {
  readonly kind: 'planned' | 'exploratory';
  /** ISO 8601 instant. */
  readonly statedAt: string;
}

export interface PlanView {
  readonly plan: string;
  /** SHA-256 of the plan's text as it stands. */
  readonly sha256: string;
  readonly questions: readonly StatedQuestion[];
  /** Each time it was stated, oldest first; `afterLooking` where answers had been looked at before. */
  readonly versions: readonly {
    readonly sha256: string;
    readonly at: string;
    readonly who: string;
    readonly afterLooking: boolean;
    readonly says: string;
  }[];
  /** When answers were first looked at; null where they never were. */
  readonly lookedAt: string | null;
}

/** What an answered plan comes to. */
export interface PlanAnswer {
  readonly sha256: string;
  /** SHA-256 of the tables that it was answered from. */
  readonly data: string;
  readonly said: readonly {
    readonly question: string;
    readonly heading: string;
    readonly lead: string;
    readonly sentences: readonly { readonly row: number; readonly says: string }[];
  }[];
  /** tests.csv and groups.csv, as cells. */
  readonly tables: readonly {
    readonly name: string;
    readonly columns: readonly string[];
    readonly rows: readonly (readonly (string | number | boolean | null)[])[];
  }[];
  readonly figures: readonly {
    readonly question: string;
    readonly name: string;
    readonly title: string;
    readonly svg: Shown<string>;
    readonly csv: Shown<string>;
  }[];
  readonly refused: readonly string[];
}

/** A swimmer over days. */
export interface OverTimeView {
  /** Swimmers of the source with the days they have values on, by code. */
  readonly swimmers: readonly { readonly participant: Shown<string>; readonly days: number }[];
  /** In plain sentences; empty where no swimmer was asked for. */
  readonly says: readonly string[];
  /** Null where there is nothing to draw. */
  readonly svg: Shown<string> | null;
  readonly csv: Shown<string>;
}

const named = z.strictObject({ plan: plainCode });

export const PLAN_CALLS = {
  'plans.list': call<Record<string, never>, readonly PlanView[]>(z.strictObject({})),
  /** What may be asked of a source; no value of an outcome is shown. */
  'plans.design': call<{ source: PlanSource }, PlanDesign>(z.strictObject({ source })),
  /**
   * States a plan: dated, hashed and kept. A question that did not stand so before answers were looked at is
   * exploratory. `seen` is the hash on the screen, null for a new plan; where it has changed nothing is stated.
   */
  'plans.state': call<{ plan: string; seen: string | null; questions: readonly PlanQuestion[] }, PlanView>(
    z.strictObject({
      plan: plainCode,
      seen: z.string().nullable(),
      questions: z.array(question).min(1).max(100),
    }),
  ),
  /** Answers a plan; from then on it has been looked at. */
  'plans.answer': call<{ plan: string; source: PlanSource }, PlanAnswer>(named.extend({ source })),
  /** Writes the answers as `lanebench compare` does, with every figure as PDF where this host prints. */
  'plans.save': call<{ plan: string; source: PlanSource; path: string }, { path: string; files: number }>(
    named.extend({ source, path }),
  ),
  /** One swimmer across days, with the smallest change that can be told from chance; null asks for the swimmers alone. */
  'overtime.get': call<{ source: PlanSource; outcome: string; participant: string | null }, OverTimeView>(
    z.strictObject({ source, outcome: name, participant: code.nullable() }),
  ),
  /** A figure, or any picture of the screens, as PDF in base64. */
  'figures.pdf': call<{ svg: string }, { base64: string }>(z.strictObject({ svg: z.string().max(900_000) })),
} as const;
