/** What `npm start` can be asked for. */
import { parseArgs } from 'node:util';
import { done, failed, type Outcome } from '../../core/base/refusal.ts';

export interface StartOptions {
  readonly desktop: boolean;
  readonly sample: boolean;
  readonly help: boolean;
}

export const HELP = `Lanebench: a testing day goes in, a trustworthy dataset and a screen to look at it come out.

  npm start                 open Lanebench; no network is used
  npm start -- --sample     open it with the sample day
  npm run desktop           fetch the Electron runtime where it is missing (once), then open its window
  npm run lanebench -- --help   the same work without a window

Where the Electron runtime is not installed, Lanebench opens in a window of an installed browser of the
Chromium family; where there is none, it prints a link that works once and keeps serving until Ctrl-C.

  LANEBENCH_HOME      the lab folder (database and raw files); otherwise your user's place for program data
  LANEBENCH_BROWSER   the browser to use, by name or path; "none" prints the link only
`;

/** Reads the arguments after the script's name; fails with a sentence. */
export function readOptions(args: readonly string[]): Outcome<StartOptions, string> {
  try {
    const { values } = parseArgs({
      args: [...args],
      options: {
        desktop: { type: 'boolean', default: false },
        sample: { type: 'boolean', default: false },
        help: { type: 'boolean', short: 'h', default: false },
      },
    });
    return done(values);
  } catch (error) {
    return failed(`${(error as Error).message.split('. ')[0]}. "npm start -- --help" lists the options.`);
  }
}
