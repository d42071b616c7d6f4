/** What the readers of traces give: a trace's rows, and the signals that a container holds by name. */
import type { Outcome, Refusal } from '../../core/base/refusal.ts';
import type { TraceRows } from '../../core/force/trace.ts';

export interface TraceFile {
  readonly rows: TraceRows;
  readonly refused: readonly Refusal[];
  readonly sha256: string;
  /** Gives the memory of the rows to the next trace: to be called by who needs them no more. */
  readonly letGo?: () => void;
}

/** One signal: values in its own unit, NaN where a sample is missing. */
export interface Signal {
  readonly name: string;
  readonly values: Float64Array;
  /** Time of each value, s, where the file tells it; null where only a further column or the day does. */
  readonly timeS: Float64Array | null;
  /** Hz, where samples follow one another without a break; null where they do not, or the file does not say. */
  readonly rateHz: number | null;
}

export interface Container {
  readonly signals: readonly Signal[];
  /** Sentences about what of the file could not be used; the rest is there. */
  readonly faults: readonly string[];
}

/** Reads a container's bytes; the failure is the end of a sentence that begins with the file's name and "cannot be used: ". */
export type ContainerReader = (bytes: Uint8Array) => Outcome<Container, string>;
