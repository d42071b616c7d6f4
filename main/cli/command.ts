/** What a command of the command line is: its words, its options and what it does. */
import type { ParseArgsConfig } from 'node:util';
import type { Terminal } from './terminal.ts';

export interface Given {
  readonly positionals: readonly string[];
  /** The last value of an option that takes text. */
  readonly text: (option: string) => string | undefined;
  readonly isSet: (option: string) => boolean;
}

export interface Command {
  readonly name: string;
  readonly help: string;
  readonly options: NonNullable<ParseArgsConfig['options']>;
  /** What is wrong with how the command was called, as a sentence; null where nothing is. */
  readonly fault: (given: Given) => string | null;
  /** Does it; the number is the exit status. */
  readonly run: (given: Given, terminal: Terminal) => Promise<number>;
}

/** The fault of a command that takes a number of folders and an OUT. */
export function placesFault(
  name: string,
  takes: string,
  { positionals, text }: Given,
  most = 1,
): string | null {
  if (positionals.length === 0 || positionals.length > most) return `"${name}" takes ${takes}.`;
  return text('out') === undefined ? `"${name}" needs --out OUT: the folder to write to.` : null;
}
