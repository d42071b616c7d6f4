/** The changes of `npm run mutate` are those of the code as it stands: one that fits nowhere would show nothing. */
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { CHANGES } from '../mutate/changes.ts';

const root = join(import.meta.dirname, '../..');

it('each change stands in its file exactly once, and its tests are there', () => {
  const wrong = CHANGES.filter(
    ({ file, find, put, tests }) =>
      find === put ||
      readFileSync(join(root, 'core', file), 'utf8').split(find).length !== 2 ||
      tests.some((test) => !existsSync(join(root, 'test', test))),
  );
  expect(wrong.map(({ file, find }) => `${file}: ${find}`)).toEqual([]);
});
