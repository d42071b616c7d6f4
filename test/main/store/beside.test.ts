/** A lab folder that is made beside its place: what a kill leaves of it stands in nobody's way and is cleared away. */
import { spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { isEmptyFolder, buildBeside, sweepUnfinished } from '../../../main/store/beside.ts';
import { REPORT_FILE } from '../../../main/store/report.ts';
import { salvageLab } from '../../../main/store/salvagelab.ts';
import { openStore } from '../../../main/store/store.ts';
import { aDay, scratch, valueOf } from './support.ts';

/** The number of a process that is gone. */
const GONE = spawnSync(process.execPath, ['-e', '']).pid;

test('what a killed salvage left is cleared away by the next one to the same place, which is whole', async () => {
  const folder = scratch();
  const [from, to] = [join(folder, 'damaged'), join(folder, 'new')];
  const store = valueOf(openStore(from));
  aDay(store);
  store.close();
  // Killed at once, while it worked on a copy, and while it copied raw files.
  mkdirSync(`${to}.unfinished-${GONE}-aaaaaa`);
  mkdirSync(join(`${to}.unfinished-${GONE}-bbbbbb`, 'work'), { recursive: true });
  mkdirSync(join(`${to}.unfinished-${GONE}-cccccc`, 'raw', 'ab'), { recursive: true });
  writeFileSync(join(`${to}.unfinished-${GONE}-cccccc`, 'lab.sqlite'), '');
  // A person's own, and one that is being made.
  mkdirSync(join(folder, 'notes.unfinished-1-dddddd', 'mine'), { recursive: true });
  mkdirSync(`${to}.unfinished-${process.ppid}-eeeeee`);
  valueOf(await salvageLab(from, to));
  expect(readdirSync(folder).toSorted()).toEqual(
    ['damaged', 'new', `new.unfinished-${process.ppid}-eeeeee`, 'notes.unfinished-1-dddddd'].toSorted(),
  );
  expect(readFileSync(join(to, REPORT_FILE), 'utf8')).toContain('Salvaged from');
});

test('one that fails leaves nothing, and one under way is not swept', async () => {
  const folder = scratch();
  const to = join(folder, 'new');
  await expect(
    buildBeside(to, (building) => {
      expect(isEmptyFolder(building)).toBe(true);
      sweepUnfinished(to);
      expect(existsSync(building)).toBe(true);
      return Promise.reject(new Error('no room'));
    }),
  ).rejects.toThrow('no room');
  expect(readdirSync(folder)).toEqual([]);
});
