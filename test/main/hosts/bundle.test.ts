/** The bundled command line: made where there is none, used as long as its sources are what they were, never waited for. */
import { mkdirSync, mkdtempSync, readFileSync, rmSync, utimesSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterEach, beforeEach, expect, test } from 'vitest';

const module: string = pathToFileURL(join(import.meta.dirname, '../../../main/bundle.mjs')).href;
const { bundled } = (await import(module)) as {
  readonly bundled: (root: string, name: string) => string | null;
};

let root = '';

function put(path: string, text: string): void {
  mkdirSync(dirname(join(root, path)), { recursive: true });
  writeFileSync(join(root, path), text);
  // Sources are older than what is made from them.
  utimesSync(join(root, path), 1_700_000_000, 1_700_000_000);
}

/** A builder that makes a program of one source, and counts. */
const BUILDER = `
const { mkdirSync, appendFileSync, copyFileSync, writeFileSync } = require('node:fs');
const out = process.argv[process.argv.indexOf('--outDir') + 1];
appendFileSync('made.txt', 'x');
mkdirSync(out, { recursive: true });
copyFileSync('core/a.ts', out + '/tool.js');
writeFileSync(out + '/sources.json', JSON.stringify(['core/a.ts']));
`;

beforeEach(() => {
  root = mkdtempSync(join(tmpdir(), 'lanebench-bundle-'));
  for (const path of ['package.json', 'package-lock.json', 'cli.config.ts']) put(path, '{}');
  put('core/a.ts', 'one');
  put('node_modules/vite/bin/vite.js', BUILDER);
});
afterEach(() => rmSync(root, { recursive: true, force: true }));

const holds = () => readFileSync(bundled(root, 'tool')!, 'utf8');
const made = () => readFileSync(join(root, 'made.txt'), 'utf8').length;

test('is made once, and again when a source has changed', () => {
  expect([holds(), holds(), made()]).toEqual(['one', 'one', 1]);
  put('core/a.ts', 'other');
  expect([holds(), holds(), made()]).toEqual(['other', 'other', 2]);
  put('package-lock.json', '{ }');
  expect([holds(), made()]).toEqual(['other', 3]);
});

test('leaves the sources to run as they are where it cannot be made', () => {
  put('node_modules/vite/bin/vite.js', 'process.exit(1)');
  expect(bundled(root, 'tool')).toBeNull();
  rmSync(join(root, 'node_modules'), { recursive: true });
  expect(bundled(root, 'tool')).toBeNull();
});

test('is not waited for where another program makes it, unless that one is long gone', () => {
  const lock = join(root, 'out/cli/building');
  mkdirSync(lock, { recursive: true });
  expect(bundled(root, 'tool')).toBeNull();
  utimesSync(lock, 1_700_000_000, 1_700_000_000);
  expect(holds()).toBe('one');
});

test('a file written while it was being made is not taken to be in it', () => {
  put('node_modules/vite/bin/vite.js', `${BUILDER} writeFileSync('core/a.ts', 'later');`);
  expect(bundled(root, 'tool')).toBeNull();
});
