/**
 * What the calibration bench shows and takes: sensors, calibrations, zeros, hand areas, budgets. Schemas stand here
 * where a screen sends the thing back; plain types where the lab alone makes it.
 */
import { type SensorCard, type KeptCalibration, type BenchDraft, benchLimits } from '../sensor/draft.ts';
import type { SensitivityHistory } from '../sensor/drift.ts';
import { z } from 'zod';
import type { Hand } from '../base/hand.ts';
import type { Shown } from '../base/shown.ts';
import type { ZeroProposal, ZeroFault } from '../force/zero.ts';
import { positive, notNegative } from '../base/codes.ts';
import type { HandArea } from '../force/handarea.ts';
import type { CalibrationRule } from '../sensor/choice.ts';
import type { ForceBudget } from '../sensor/budget.ts';

export interface SensorView {
  readonly card: SensorCard;
  readonly calibrations: readonly KeptCalibration[];
  /** Of the accepted ones, with or without remark; null without any. */
  readonly history: SensitivityHistory | null;
  /** The calibration being made; null where none is. */
  readonly draft: BenchDraft | null;
}

export interface BenchView {
  readonly sensors: readonly SensorView[];
  readonly limits: z.infer<typeof benchLimits>;
  /** What of the register cannot be read, one sentence each. */
  readonly faults: readonly string[];
  readonly canUndo: boolean;
  readonly canRedo: boolean;
}

/** A recording opened at the bench: its columns, and the samples of one of them by `recordingPath`. */
export interface RecordingView {
  readonly sha256: string;
  readonly file: string;
  readonly columns: readonly string[];
  readonly startS: number;
  readonly rateHz: number;
  readonly count: number;
}

/** One zero reading of a day. */
export interface ZeroReadingView {
  readonly trial: string;
  readonly participant: Shown<string>;
  readonly sensor: string;
  readonly hand: Hand;
  readonly before: number | null;
  readonly after: number | null;
  /** Unit of both readings; null where it is not stated. */
  readonly unit: string | null;
  readonly shiftKpa: number | null;
  /** True where the limit of the protocol is broken; null where it cannot be judged. */
  readonly beyond: boolean | null;
  /** Where the readings come from: the day's file, or confirmed here. */
  readonly origin: {
    readonly before: 'file' | 'confirmed' | null;
    readonly after: 'file' | 'confirmed' | null;
  };
}

export interface DayZerosView {
  readonly day: number;
  /** In the order of trials.csv. */
  readonly readings: readonly ZeroReadingView[];
  readonly limitKpa: number | null;
  readonly waterTemperatureC: number | null;
}

export interface ZeroProposals {
  readonly start: ZeroProposal | ZeroFault;
  readonly end: ZeroProposal | ZeroFault;
}

export const handAreaEntry = z.strictObject({
  method: z.enum(['traced', 'typed', 'estimated']),
  cm2: positive,
  uCm2: notNegative.nullable(),
  scaleUCm2: notNegative.nullable(),
  repeatUCm2: notNegative.nullable(),
  planeUCm2: notNegative.nullable().default(null),
  offsetUCm2: notNegative.nullable().default(null),
  count: z.number().int().positive(),
  says: z.string().max(1000),
});

export interface HandAreaView {
  readonly participant: Shown<string>;
  readonly hand: Hand;
  /** What roster.csv gives. */
  readonly rosterCm2: number | null;
  readonly rosterUCm2: number | null;
  /** What was kept here, in place of it; null where the roster stands. */
  readonly kept: HandArea | null;
  readonly heightCm: number | null;
  readonly massKg: number | null;
  /** Age in whole years on the day, at most; null where not known. */
  readonly ageYears: number | null;
}

export interface DayAreasView {
  readonly day: number;
  readonly areas: readonly HandAreaView[];
}

/** Which calibration each sensor of a day uses, and why. */
export interface ChoiceView {
  readonly day: number;
  readonly rule: CalibrationRule;
  readonly sensors: readonly {
    readonly sensor: string;
    readonly says: string;
    readonly from: readonly string[];
  }[];
}

/** What a change of rule would do, before it is kept. */
export interface ChoicePreview {
  readonly choice: ChoiceView;
  readonly changes: readonly {
    readonly trial: string;
    readonly hand: Hand;
    readonly peakBeforeN: number | null;
    readonly peakAfterN: number | null;
    readonly changePct: number | null;
  }[];
}

export interface BudgetView {
  readonly trial: string;
  readonly hand: Hand;
  readonly forceN: number;
  readonly budget: ForceBudget | null;
  /** Why there is none; null where there is. */
  readonly fault: string | null;
  /** How the area and the calibration were come by, for the person. */
  readonly areaSays: string;
  readonly calibrationSays: string;
}
