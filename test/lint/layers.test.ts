/** The layer rule, proven: a forbidden import fails the lint, an allowed one passes. */
import { Linter } from 'eslint';
import { join } from 'node:path';
import typescript from 'typescript-eslint';
import { describe, expect, it } from 'vitest';
import { layers } from './layers.mjs';

const root = process.cwd();

function lint(file: string, code: string): string[] {
  const linter = new Linter({ cwd: root });
  const config = {
    files: ['**/*.ts'],
    languageOptions: { parser: typescript.parser },
    plugins: { lanebench: { rules: { layers } } },
    rules: { 'lanebench/layers': 'error' },
  } as unknown as Linter.Config;
  return linter.verify(code, config, join(root, file)).map(({ message }) => message);
}

describe('a forbidden import fails', () => {
  it.each([
    ['core/force.ts', `import { readFile } from 'node:fs';`],
    ['core/force.ts', `import { x } from '../main/lab/lab.ts';`],
    ['core/force.ts', `import type { X } from '../renderer/route.ts';`],
    ['core/force.ts', `export { x } from 'electron';`],
    ['core/force.ts', `await import('node:child_process');`],
    ['renderer/main.ts', `import { x } from '../main/lab/lab.ts';`],
    ['renderer/main.ts', `import fs from 'node:fs';`],
    ['main/cli/lanebench.ts', `import { x } from '../files/hash.ts';`],
    ['main/cli/lanebench.ts', `import { x } from '../store/store.ts';`],
    ['main/loopback/server.ts', `import { x } from '../desktop/main.ts';`],
    ['main/lab/lab.ts', `import { x } from '../loopback/server.ts';`],
    ['main/lab/lab.ts', `import sqlite from 'better-sqlite3';`],
    ['main/store/days.ts', `import { x } from '../files/hash.ts';`],
    ['main/files/hash.ts', `import { x } from '../store/days.ts';`],
    ['main/files/hash.ts', `type X = import('../lab/lab.ts').X;`],
  ])('%s: %s', (file, code) => {
    expect(lint(file, code).join()).toMatch(/must not import/);
  });
});

describe('an allowed import passes', () => {
  it.each([
    ['core/force.ts', `import { x } from './filter.ts';`],
    ['core/statistics.ts', `import q from '@stdlib/stats-base-dists-t-quantile';`],
    ['renderer/main.ts', `import { x } from '../core/contract.ts';`],
    ['main/cli/lanebench.ts', `import { x } from '../lab/process.ts';`],
    ['main/lab/lab.ts', `import { x } from '../store/store.ts'; import { y } from '../files/hash.ts';`],
    ['main/desktop/main.ts', `import { app } from 'electron';`],
    ['test/core/x.test.ts', `import { x } from '../../main/store/days.ts';`],
  ])('%s: %s', (file, code) => {
    expect(lint(file, code)).toEqual([]);
  });
});
