import { spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { onTestFinished } from 'vitest';
import type { Outcome } from '../../../core/base/refusal.ts';
import { openStore, type Store, type StoreError } from '../../../main/store/store.ts';

export const AT = '2026-03-02T09:30:00.000Z';
export const WHO = 'AB';
export const ZEROS = '0'.repeat(64);

/** A folder that is removed when the test has finished. */
export function scratch(): string {
  const folder = mkdtempSync(join(tmpdir(), 'store-test-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

/** The value of an outcome that must be one. */
export function valueOf<T>(outcome: Outcome<T, StoreError>): T {
  if (!outcome.ok) throw new Error(`${outcome.error.code}: ${outcome.error.says}`);
  return outcome.value;
}

/** The error of an outcome that must have failed; it must speak to a person. */
export function errorOf(outcome: Outcome<unknown, StoreError>): StoreError {
  if (outcome.ok) throw new Error('This should have failed.');
  const { says, todo } = outcome.error;
  if (!says.endsWith('.') || !todo.endsWith('.')) throw new Error(`No sentences: "${says}" "${todo}"`);
  return outcome.error;
}

/** An open store that is closed when the test has finished. */
export function opened(folder: string): Store {
  const store = valueOf(openStore(folder));
  onTestFinished(() => store.close());
  return store;
}

/** Records an invented day without files and gives its id. */
export function aDay(store: Store, day = 'D1'): number {
  const invented = { day, date: '2026-03-02', venue: 'invented pool', source: '/day' };
  return valueOf(store.recordDay({ ...invented, files: [], at: AT, who: WHO })).id;
}

export function decideOn(
  store: Store,
  day: number,
  key: string,
  before: unknown,
  after: unknown,
): ReturnType<Store['decide']> {
  const says = `${key} becomes ${JSON.stringify(after)}`;
  return store.decide({ day, trial: null, subject: 'test', key, before, after, says, who: WHO, at: AT });
}

/** A disk of its own, of so many bytes; null where this machine does not let us mount one. */
export function tinyDisk(
  bytes: number,
): { readonly folder: string; readonly makeReadOnly: () => void } | null {
  if (process.platform !== 'linux' || process.getuid?.() !== 0) return null;
  const folder = join(scratch(), 'disk');
  mkdirSync(folder);
  const mount = (...options: string[]) => spawnSync('mount', options).status === 0;
  if (!mount('-t', 'tmpfs', '-o', `size=${bytes}`, 'tmpfs', folder)) return null;
  onTestFinished(() => {
    spawnSync('umount', ['--lazy', folder]);
  });
  return {
    folder,
    makeReadOnly: () => {
      if (!mount('-o', 'remount,ro', folder)) throw new Error('The disk could not be made read-only.');
    },
  };
}

export const NO_DISK = 'mounting a small disk takes Linux and root';
