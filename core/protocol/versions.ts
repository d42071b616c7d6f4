import type { ProtocolContent } from './content.ts';
import type { ProtocolChange } from './change.ts';

/** A protocol in the lab's list. */
export interface ProtocolSummary {
  readonly protocol: string;
  readonly name: string;
  /** The newest version; null where only a draft is there. */
  readonly version: number | null;
  readonly keptAt: string | null;
  readonly hasDraft: boolean;
  /** Why what is kept of it cannot be read; null where it can. */
  readonly fault: string | null;
  /** Codes of the days run with it. */
  readonly days: readonly string[];
}

export interface ProtocolVersion {
  readonly version: number;
  readonly content: ProtocolContent;
  /** ISO 8601 instant. */
  readonly at: string;
  readonly who: string;
  /** What it changed against the version before; empty for the first. */
  readonly changes: readonly ProtocolChange[];
  readonly days: readonly string[];
}

export interface ProtocolView {
  readonly protocol: string;
  /** Newest first. */
  readonly versions: readonly ProtocolVersion[];
  /** The version being made; null where none is. */
  readonly draft: ProtocolContent | null;
}
