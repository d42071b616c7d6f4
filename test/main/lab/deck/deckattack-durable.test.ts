/** A testing day whose computer fails: kill −9, a full disk, a disk that may only be read, a lab file that breaks. */
import { spawn } from 'node:child_process';
import { closeSync, openSync, rmSync, statSync, writeFileSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import { z } from 'zod';
import type { CallInput, CallName, CallOutput } from '../../../../core/contract/contract.ts';
import type { DeckAct } from '../../../../core/deck/deck.ts';
import { openLab } from '../../../../main/lab/lab.ts';
import type { Lab } from '../../../../main/lab/kept/port.ts';
import { PROTOCOL, SETUP, swimmer } from '../../../core/deck/build.ts';
import { NODE } from '../../cli/run.ts';
import { tempFolder } from '../../files/day-builder.ts';
import { NO_DISK, tinyDisk } from '../../store/support.ts';

const PROGRAM = join(import.meta.dirname, 'deckattacking.ts');

const told = z.object({
  day: z.number().optional(),
  code: z.string().optional(),
  skipped: z.number().optional(),
  protocol: z.string().optional(),
  version: z.number().optional(),
});
type Told = z.infer<typeof told>;

/** Runs the program and kills it so many ms after it has told so many things; gives what it had told. */
function killed(home: string, mark: string, afterLines: number, afterMs: number): Promise<readonly Told[]> {
  return new Promise((resolve, reject) => {
    const child = spawn(NODE, [PROGRAM, home, mark]);
    let [out, errors] = ['', ''];
    child.stderr.on('data', (piece: Buffer) => (errors += piece.toString()));
    child.stdout.on('data', (piece: Buffer) => {
      const before = out.split('\n').length - 1;
      out += piece.toString();
      if (before < afterLines && out.split('\n').length - 1 >= afterLines)
        setTimeout(() => child.kill('SIGKILL'), afterMs);
    });
    onTestFinished(() => {
      child.kill('SIGKILL');
    });
    child.on('close', (_, signal) => {
      const lines = out.split('\n').slice(0, -1);
      if (signal === 'SIGKILL') resolve(lines.map((line) => told.parse(JSON.parse(line))));
      else reject(new Error(errors));
    });
  });
}

async function reopened(home: string): Promise<Lab> {
  const lab = await openLab({ home, sampleFolder: null, version: '1.2.3' });
  onTestFinished(() => lab.close());
  return lab;
}

async function ask<N extends CallName>(lab: Lab, name: N, input: CallInput<N>): Promise<CallOutput<N>> {
  const answer = await lab.carry(name, input);
  if (!answer.ok) throw new Error(`${name}: ${answer.error.says}`);
  return answer.value as CallOutput<N>;
}

/** The sentence of a call that must fail. */
async function refusal<N extends CallName>(lab: Lab, name: N, input: CallInput<N>): Promise<string> {
  const answer = await lab.carry(name, input);
  if (answer.ok) throw new Error(`${name} should have failed.`);
  const { says, todo } = answer.error;
  expect(`${says} ${todo}`).toMatch(/^[A-Z].*\. .*\.$/s);
  expect(`${says} ${todo}`).not.toMatch(/\n\s+at |SqliteError/);
  return says;
}

it(
  'what was answered is there after kill −9, at whatever moment, and nothing is half',
  { timeout: 300_000 },
  async () => {
    const home = join(await tempFolder(), 'lab');
    const all: Told[] = [];
    const early = [0, 3, 40, 111, 250, 433].map((afterMs): [number, number] => [1, afterMs]);
    const moments: [number, number][] = [...early, [11, 0], [10, 17]];
    for (const [index, moment] of moments.entries())
      all.push(...(await killed(home, `day-${index}`, ...moment)));
    const lab = await reopened(home);
    const protocols = await ask(lab, 'protocols.list', {});
    for (const { protocol, version } of all)
      if (protocol !== undefined)
        expect(protocols.find((one) => one.protocol === protocol)!.version).toBeGreaterThanOrEqual(version!);
    const days = await ask(lab, 'days.list', {});
    let skipped = 0;
    for (const { day, code, skipped: number = 0 } of all) {
      if (day === undefined) continue;
      if (code !== undefined) expect(days.find(({ id }) => id === day)?.day).toBe(code);
      const { board } = await ask(lab, 'deck.get', { day });
      const done = board.trials.filter(({ state }) => state === 'skipped');
      expect(done.length).toBeGreaterThanOrEqual(number);
      skipped = Math.max(skipped, number);
      // One act is one step: beside what was told there is at most what was under way.
      expect(board.trials.length - done.length).toBeLessThanOrEqual(1);
      expect(board.trials.length - board.notes.length).toBeLessThanOrEqual(1);
    }
    expect(skipped).toBeGreaterThan(3);
    for (const { protocol } of protocols) {
      const { versions } = await ask(lab, 'protocols.get', { protocol });
      expect(versions.map(({ version }) => version)).toEqual(versions.map((_, k) => versions.length - k));
    }
  },
);

/** A day with a swimmer, on a lab of its own. */
async function aDay(
  home: string,
): Promise<{ lab: Lab; day: number; act: (act: DeckAct) => CallInput<'deck.act'> }> {
  const lab = await reopened(home);
  await ask(lab, 'protocols.draft', { protocol: 'p', draft: PROTOCOL });
  await ask(lab, 'protocols.keep', { protocol: 'p' });
  const { day } = await ask(lab, 'deck.new', { day: 'd', protocol: 'p', version: 1, setup: SETUP });
  const act = (given: DeckAct) => ({ day, act: given });
  await ask(lab, 'deck.act', act({ act: 'swimmers.add', swimmers: [swimmer('A')] }));
  await ask(lab, 'deck.act', act({ act: 'trial.add', participant: 'A', condition: null }));
  return { lab, day, act };
}

const CAUGHT: DeckAct = {
  act: 'trial.caught',
  participant: 'A',
  condition: null,
  file: null,
  camera: null,
};
const NOTE: DeckAct = {
  act: 'note.add',
  kind: 'note',
  trial: null,
  participant: null,
  says: 'x'.repeat(900),
};

describe('a full disk', () => {
  it('is told; the day is shown and goes on once there is room', async (context) => {
    const disk = tinyDisk(3 << 20);
    if (disk === null) return context.skip(NO_DISK);
    const { lab, day, act } = await aDay(join(disk.folder, 'lab'));
    const ballast = join(disk.folder, 'ballast');
    writeFileSync(ballast, Buffer.alloc(400_000));
    await ask(lab, 'deck.act', act(CAUGHT));
    let [kept, says] = [0, ''];
    while (says === '') {
      const answer = await lab.carry('deck.act', act(NOTE));
      if (answer.ok) kept += 1;
      else says = `${answer.error.says} ${answer.error.todo}`;
    }
    fill(disk.folder);
    expect(says).toMatch(/no room left .* Make room /s);
    expect((await ask(lab, 'deck.get', { day })).board.notes).toHaveLength(kept);
    expect(await refusal(lab, 'deck.act', act(NOTE))).toContain('no room');
    const begun = await lab.carry('deck.new', { day: 'e', protocol: 'p', version: 1, setup: SETUP });
    expect(begun.ok || begun.error.says.includes('no room')).toBe(true);
    for (const name of ['days.list', 'protocols.list'] as const) await ask(lab, name, {});
    for (const name of ['history.list', 'deck.close'] as const) await ask(lab, name, { day });
    // Numbers that are computed now and cannot be kept are shown all the same.
    expect((await ask(lab, 'days.get', { day })).trials).toHaveLength(1);
    await ask(lab, 'trials.get', { day, trial: 'A-2' });
    rmSync(ballast);
    await ask(lab, 'deck.act', act(NOTE));
    expect((await ask(lab, 'deck.get', { day })).board.notes).toHaveLength(kept + 1);
  });
});

/** Leaves not a byte on a disk. */
function fill(folder: string): void {
  const handle = openSync(join(folder, 'filler'), 'w');
  try {
    for (;;) writeSync(handle, Buffer.alloc(4096));
  } catch (error) {
    expect((error as NodeJS.ErrnoException).code).toBe('ENOSPC');
  } finally {
    closeSync(handle);
  }
}

it('a lab file that breaks while the day runs is told of in a sentence', async () => {
  const home = join(await tempFolder(), 'lab');
  const { lab, day, act } = await aDay(home);
  await lab.close();
  const file = join(home, 'lab.sqlite');
  const again = await reopened(home);
  const size = statSync(file).size;
  const handle = openSync(file, 'r+');
  const junk = Buffer.alloc(4096, 0x5a);
  for (let at = 4096; at < size; at += 4096) writeSync(handle, junk, 0, junk.length, at);
  closeSync(handle);
  for (const [name, input] of [
    ['deck.get', { day }],
    ['days.list', {}],
    ['protocols.list', {}],
    ['deck.act', act(NOTE)],
  ] as const) {
    const says = await refusal(again, name, input as never);
    expect(says).toContain('damaged');
  }
});
