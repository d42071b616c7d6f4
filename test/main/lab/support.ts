/** A lab folder of its own for a test, with a watch on what is computed and what is copied. */
import { createHash } from 'node:crypto';
import { readFileSync, readdirSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { onTestFinished } from 'vitest';
import type { LabError } from '../../../core/base/refusal.ts';
import type { Outcome } from '../../../core/base/refusal.ts';
import { bringIn } from '../../../main/lab/days/bringin.ts';
import type { Progress } from '../../../main/lab/kept/jobs.ts';
import type { Session } from '../../../main/lab/kept/session.ts';
import { openStore } from '../../../main/store/store.ts';
import { tempFolder } from '../files/day-builder.ts';

export interface TestLab {
  readonly home: string;
  readonly session: Session;
  /** Trials whose results were computed and kept since this was last called, in order. */
  readonly computed: () => readonly string[];
  /** Hash and inode of every raw file: a file copied again has another inode. */
  readonly raw: () => ReadonlyMap<string, number>;
  /** Brings a day folder in; gives its id. */
  readonly bring: (folder: string) => Promise<number>;
  readonly close: () => void;
}

export async function testLab(home?: string): Promise<TestLab> {
  const folder = home ?? join(await tempFolder(), 'lab');
  const opened = openStore(folder);
  if (!opened.ok) throw new Error(opened.error.says);
  const store = opened.value;
  let isOpen = true;
  const close = () => {
    if (isOpen) store.close();
    isOpen = false;
  };
  onTestFinished(close);
  const computed: string[] = [];
  const watched: Session['store'] = {
    ...store,
    putResult: (result) => {
      computed.push(result.trial);
      return store.putResult(result);
    },
  };
  const session: Session = { store: watched, version: '1.2.3', sampleFolder: null };
  return {
    home: folder,
    session,
    computed: () => computed.splice(0),
    raw: () => rawFiles(folder),
    bring: async (day) => valueOf(await bringIn(session, day, steadily())).day,
    close,
  };
}

function rawFiles(home: string): ReadonlyMap<string, number> {
  const raw = join(home, 'raw');
  const files = readdirSync(raw, { recursive: true, withFileTypes: true }).filter((entry) => entry.isFile());
  return new Map(
    files.map(({ parentPath, name }) => {
      const path = join(parentPath, name);
      return [path.slice(raw.length + 1).replace(/[\\/]/, ''), statSync(path).ino] as const;
    }),
  );
}

/** Progress that nobody watches; `atStep` is told how many steps are done. */
export function steadily(
  atStep: (steps: number) => void = () => undefined,
  stop = new AbortController(),
  atShare: (steps: number) => void = () => undefined,
): Progress {
  let steps = 0;
  return {
    signal: stop.signal,
    total: () => undefined,
    step: () => atStep(++steps),
    share: (share) => atShare(steps + share),
  };
}

/** The value of an outcome that must be one. */
export function valueOf<T>(outcome: Outcome<T, LabError>): T {
  if (!outcome.ok) throw new Error(`${outcome.error.code}: ${outcome.error.says}`);
  return outcome.value;
}

/** The code of an outcome that must have failed; it must speak to a person. */
export function faultOf(outcome: Outcome<unknown, LabError>): LabError['code'] {
  if (outcome.ok) throw new Error('This should have failed.');
  const { code, says, todo } = outcome.error;
  if (!says.endsWith('.') || !todo.endsWith('.')) throw new Error(`No sentences: "${says}" "${todo}"`);
  return code;
}

export function sha256Of(path: string): string {
  return createHash('sha256').update(readFileSync(path)).digest('hex');
}
