/** A day that is run here: its setup, plan and board. */
import { z } from 'zod';
import { finite, notNegative } from '../../../core/base/codes.ts';
import {
  CHECKLISTS,
  deckSetup,
  deckSwimmer,
  fileTarget,
  type DeckBoard,
  type DeckPlan,
} from '../../../core/deck/deck.ts';
import { sectionWord } from '../../../core/marking/words.ts';
import type { Shape } from './shape.ts';

const text = z.string();
const moment = z.number();

const assigned = z.object({
  sensor: text,
  hand: z.enum(['left', 'right']),
  rangeKpa: finite.nullable(),
  rawUnit: text.nullable(),
  rawMin: finite.nullable(),
  rawMax: finite.nullable(),
  calibration: z
    .object({
      id: z.number().int(),
      at: text,
      verdict: z.enum(['accepted', 'remark']),
      points: z.array(
        z.object({ appliedKpa: finite, raw: finite, direction: z.enum(['up', 'down']).nullable() }),
      ),
      /** The first programs that ran a day did not take it from the register. */
      reference: z.object({ scale: notNegative, zeroKpa: notNegative }).default({ scale: 0, zeroKpa: 0 }),
    })
    .nullable(),
});

const worn = z.object({ left: text.nullable(), right: text.nullable() });

const plan = z.object({
  setup: deckSetup,
  swimmers: z.array(deckSwimmer),
  sensors: z.array(assigned),
  worn,
}) satisfies z.ZodType<DeckPlan>;

const boardTrial = z.object({
  trial: text,
  participant: text,
  attempt: z.number().int(),
  condition: text.nullable(),
  state: z.enum(['planned', 'swimming', 'swum', 'skipped']),
  beganMs: moment.nullable(),
  endedMs: moment.nullable(),
  worn: worn.nullable(),
  handsSwapped: z.boolean().default(false),
  repeatOf: text.nullable().default(null),
  answer: z.object({ what: z.enum(['keep', 'again', 'leave']), reason: text }).nullable(),
  skippedWhy: text.default(''),
  /** Boards of the first programs that ran a day knew no stop. */
  stopped: z.object({ says: text, atMs: moment }).nullable().default(null),
  clearedBy: text.nullable().default(null),
});

const signed = { initials: text, atMs: moment };

const board = z.object({
  seed: text,
  trials: z.array(boardTrial),
  given: z.array(z.object({ file: z.number().int(), to: fileTarget.nullable(), why: text })),
  notes: z.array(
    z.object({
      id: z.number().int(),
      kind: z.enum(['note', 'incident']),
      trial: text.nullable(),
      participant: text.nullable(),
      says: text,
      atMs: moment,
      who: text,
    }),
  ),
  ticks: z.array(z.object({ list: z.enum(CHECKLISTS), item: text, ...signed })),
  /** Boards of the first programs that ran a day did not have it. */
  sensors: z.array(assigned).default([]),
  sections: z.array(z.object({ trial: text, section: sectionWord })),
  resting: z.array(z.object({ participant: text, why: text, atMs: moment, who: text })).default([]),
  dryRun: z.object({ says: text, ...signed }).nullable(),
  zeros: z.array(z.object({ sensor: text, when: z.enum(['start', 'end']), raw: finite, atMs: moment })),
  checks: z.array(
    z.object({
      sensor: text,
      /** The first programs that read known pressures read them at the end of the day alone. */
      when: z.enum(['start', 'end']).default('end'),
      appliedKpa: finite,
      raw: finite,
      atMs: moment,
    }),
  ),
  closed: z.object(signed).nullable(),
}) satisfies z.ZodType<DeckBoard>;

export const SETUP_SHAPE: Shape<z.infer<typeof deckSetup>> = {
  what: 'settings of a day',
  version: 1,
  schema: deckSetup,
};

export const PLAN_SHAPE: Shape<z.infer<typeof plan>> = { what: 'plans of a day', version: 1, schema: plan };

export const BOARD_SHAPE: Shape<z.infer<typeof board>> = {
  what: 'boards of a day',
  version: 3,
  schema: board,
  // The first version called the trials of the board its runs.
  upgrade: (value) => {
    if (typeof value !== 'object' || value === null || !('runs' in value)) return value;
    const { runs, ...rest } = value;
    return { ...rest, trials: runs };
  },
};
