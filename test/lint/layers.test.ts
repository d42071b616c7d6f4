/** The rule of layers and rooms, proven: a forbidden import fails the lint, an allowed one passes. */
import { Linter } from 'eslint';
import { join, posix } from 'node:path';
import typescript from 'typescript-eslint';
import { describe, expect, it } from 'vitest';
import { layers } from './layers.mjs';
import { ROOMS } from './rooms.mjs';

const { dirname } = posix;
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
    ['core/force/force.ts', `import { readFile } from 'node:fs';`],
    ['core/force/force.ts', `import { x } from '../../main/lab/lab.ts';`],
    ['core/force/force.ts', `import type { X } from '../../renderer/route.ts';`],
    ['core/force/force.ts', `export { x } from 'electron';`],
    ['core/force/force.ts', `await import('node:child_process');`],
    ['renderer/entry/main.ts', `import { x } from '../../main/lab/lab.ts';`],
    ['renderer/entry/main.ts', `import fs from 'node:fs';`],
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
    ['core/force/force.ts', `import { x } from './filter.ts';`],
    ['core/base/statistics.ts', `import q from '@stdlib/stats-base-dists-t-quantile';`],
    ['renderer/entry/main.ts', `import { x } from '../../core/contract/contract.ts';`],
    ['main/cli/lanebench.ts', `import { x } from '../lab/kept/process.ts';`],
    ['main/lab/lab.ts', `import { x } from '../store/store.ts'; import { y } from '../files/hash.ts';`],
    ['main/desktop/main.ts', `import { app } from 'electron';`],
    ['test/core/x.test.ts', `import { x } from '../../main/store/days.ts';`],
  ])('%s: %s', (file, code) => {
    expect(lint(file, code)).toEqual([]);
  });
});

/** Every arrow from one room of a house to another, and whether it points down: from a later step to an earlier one. */
const ARROWS = Object.entries(ROOMS).flatMap(([house, steps]) => {
  const rooms = steps.flatMap((step, k) => step.map((room) => ({ room, k })));
  const path = (room: string) => [house, room, 'x.ts'].filter((part) => part !== '').join('/');
  return rooms.flatMap((from) =>
    rooms
      .filter(({ room }) => room !== from.room)
      .map((to) => ({ from: path(from.room), to: path(to.room), down: to.k < from.k })),
  );
});

describe('rooms', () => {
  it('have the order of the house', () => {
    const orders = Object.values(ROOMS).map((steps) => steps.map((step) => step.join(', ')).join(' · '));
    expect(orders).toEqual([
      'base · clock, sensor · force · stroke · protocol · day · marking · trial · deck, rater, dataset · ' +
        'arrival, lists, pages, findings, follow, live, people · gather · contract',
      'shapes · kept · answer, days, watch, gather, live · bench · review, protocols, deck, findings · people · ',
      ', theme · components · fields, plot · calibrated, days, protocols, sensors · day, review · deck, findings, second · ' +
        'shell · entry',
    ]);
  });

  it.each(ARROWS.filter(({ down }) => !down))('$from must not import $to', ({ from, to }) => {
    const path = relative(dirname(from), to);
    const code = `import { x } from '${path}'; import type { X } from '${path}'; export * from '${path}';`;
    expect(lint(from, code)).toEqual(Array(3).fill(expect.stringMatching(/must not import/)));
  });

  it.each(ARROWS.filter(({ down }) => down))('$from may import $to', ({ from, to }) => {
    expect(lint(from, `import { x } from '${relative(dirname(from), to)}';`)).toEqual([]);
  });

  it.each(['core/x.ts', 'core/attic/x.ts', 'main/lab/attic/x.ts', 'renderer/attic/x.ts'])(
    '%s is in no room, and so imports nothing',
    (file) => {
      const code = `import { x } from '${relative(dirname(file), 'core/base/hand.ts')}';`;
      expect(lint(file, code).join()).toMatch(/is in no room/);
    },
  );
});

function relative(folder: string, to: string): string {
  const path = posix.relative(folder, to);
  return path.startsWith('.') ? path : `./${path}`;
}
