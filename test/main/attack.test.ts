/** A small share of `npm run attack`: the attacks themselves work, and nothing falls to them. */
import { spawnSync } from 'node:child_process';
import { expect, it } from 'vitest';

it('nothing falls to a hundredth of the attacks', { timeout: 600_000 }, () => {
  const { status, stdout, stderr } = spawnSync(
    process.execPath,
    ['test/attack/attack.ts', '--share', '0.01', '--seed', '7'],
    { encoding: 'utf8' },
  );
  expect(stdout, stderr).toMatch(/damaged files: 200 tried, 0 fell/);
  expect(stdout).toMatch(/damaged films: 10 tried, 0 fell/);
  expect(stdout).toMatch(/Nothing fell\.\n$/);
  expect(status).toBe(0);
});
