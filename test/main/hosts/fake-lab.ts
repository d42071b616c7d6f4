/** A lab small enough to know by heart: what hosts carry, without what it means. */
import { mkdtempSync, mkdirSync, rmSync, symlinkSync, truncateSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Lab } from '../../../main/lab/kept/port.ts';

/** 1,000 bytes whose value is their place modulo 251, so that a wrong offset shows. */
export const BYTES = Uint8Array.from({ length: 1000 }, (_, i) => i % 251);

export interface FakeLab extends Lab {
  readonly carried: { name: string; input: unknown }[];
  readonly closings: () => number;
}

export function fakeLab(folder: string): FakeLab {
  const carried: { name: string; input: unknown }[] = [];
  let closings = 0;
  const film = join(folder, 'film.mp4');
  const empty = join(folder, 'empty.mp4');
  writeFileSync(film, BYTES);
  writeFileSync(empty, '');
  const large = join(folder, 'large.mp4');
  writeFileSync(large, '');
  truncateSync(large, 20_000_000);
  return {
    carried,
    closings: () => closings,
    carry: async (name, input) => {
      carried.push({ name, input });
      if (name === 'history.undo') throw new TypeError('a bug with /secret/path in it');
      if (name === 'trials.get') {
        return {
          ok: false,
          error: { code: 'not_found', says: 'There is no trial "T9".', todo: 'Choose another.' },
        };
      }
      if (name === 'days.openSample') {
        return {
          ok: true,
          value: { job: 4, what: 'sample', state: 'running', done: 0, total: 1, day: null, error: null },
        };
      }
      if (name === 'jobs.get') {
        return {
          ok: true,
          value: { job: 4, what: 'sample', state: 'done', done: 1, total: 1, day: 7, error: null },
        };
      }
      // A number that is none, and a gap in an object: what JSON does to them is what a screen sees.
      return { ok: true, value: { version: '1.2.3', noNumber: NaN, nothing: undefined, input } };
    },
    resource: async (path) => {
      if (path === '/film/1/T1/A') return { kind: 'file', path: film, mime: 'video/mp4' };
      if (path === '/film/1/T1/empty') return { kind: 'file', path: empty, mime: 'video/mp4' };
      if (path === '/film/1/T1/large') return { kind: 'file', path: large, mime: 'video/mp4' };
      if (path === '/film/1/T1/lost')
        return { kind: 'file', path: join(folder, 'lost.mp4'), mime: 'video/mp4' };
      if (path === '/film/1/T1/bug') throw new Error('a bug with /secret/path in it');
      if (path === '/samples/1/T1/left')
        return { kind: 'bytes', bytes: BYTES, mime: 'application/octet-stream' };
      return null;
    },
    close: async () => {
      closings++;
    },
  };
}

/** A program folder with built screens, files beside them that must stay out of reach, and an empty lab folder. */
export function fakeRoot(): { root: string; home: string; remove: () => void } {
  const root = mkdtempSync(join(tmpdir(), 'lanebench-hosts-'));
  const screens = join(root, 'out', 'renderer');
  mkdirSync(join(screens, 'assets'), { recursive: true });
  mkdirSync(join(root, 'out', 'renderer-private'));
  mkdirSync(join(root, 'home'));
  writeFileSync(join(screens, 'index.html'), '<!doctype html><title>screens</title>');
  writeFileSync(join(screens, 'assets', 'index.js'), 'export {};');
  writeFileSync(join(root, 'out', 'secret.txt'), 'SECRET');
  writeFileSync(join(root, 'out', 'renderer-private', 'secret.txt'), 'SECRET');
  symlinkSync(join(root, 'out', 'secret.txt'), join(screens, 'linked.txt'));
  symlinkSync(join(root, 'out'), join(screens, 'up'));
  return { root, home: join(root, 'home'), remove: () => rmSync(root, { recursive: true, force: true }) };
}
