/**
 * The unmarked sample trial marked from nothing by keyboard alone, each key counted; its numbers against those of
 * `lanebench process` on the exported day. Where the events are is told by sample-sessions/truth.json, not by the program.
 */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import Papa from 'papaparse';
import type { Page } from 'playwright-core';
import { expect, it } from 'vitest';
import { lanebench } from '../main/cli/run.ts';
import { ROOT } from './app.ts';
import { axeFaults } from './axefaults.ts';
import { journey } from './journey.ts';
import { cell, disagreement, readList, readTable } from './shown.ts';

type Row = Readonly<Record<string, string>>;
type Arm = 'left' | 'right';
const TRIAL = 'P06-2';
const ARMS: readonly Arm[] = ['left', 'right'];
/** Number-row keys of the events that are marked on film. */
const FILM_KEYS = {
  water_entry: '1',
  full_reach: '2',
  hand_below_shoulder: '3',
  water_exit: '7',
} as const;
type FilmEvent = keyof typeof FILM_KEYS;
const FILM_EVENTS = Object.keys(FILM_KEYS) as readonly FilmEvent[];
const MOST_KEYS_PER_MARK = 3;
const WAIT_MS = 60_000;
/** Strokes whose propulsion, read from force, lies in the section. */
const FIRST_STROKE = { left: 6, right: 6 } as const;
const LAST_STROKE = 9;
const STROKES = 2 * LAST_STROKE + 2 - FIRST_STROKE.left - FIRST_STROKE.right;
const MARKS = 6 * STROKES;
const FRAME_S = 0.02;

interface Truth {
  readonly films: readonly { readonly offset_s: number; readonly rate: number }[];
  readonly hands: Readonly<
    Record<Arm, { strokes: readonly { stroke: number; events_s: Readonly<Record<string, number>> }[] }>
  >;
}
const truth = (
  JSON.parse(readFileSync(join(ROOT, 'sample-sessions', 'truth.json'), 'utf8')) as {
    trials: readonly (Truth & { trial: string })[];
  }
).trials.find(({ trial }) => trial === TRIAL)!;
const strokesOf = (arm: Arm) =>
  truth.hands[arm].strokes.filter(({ stroke }) => stroke >= FIRST_STROKE[arm] && stroke <= LAST_STROKE);
const frameOf = (traceS: number) => {
  const { offset_s: offset, rate } = truth.films[0]!;
  return Math.round((traceS - offset) / rate / FRAME_S);
};

journey('marking by keyboard alone', ['--sample'], (scene) => {
  let pressed = 0;
  const press = async (key: string) => {
    pressed += 1;
    await scene.page.keyboard.press(key);
  };
  const marks = () => readTable(scene.page, 'section[aria-labelledby="marks-title"] table');
  const count = (n: number) =>
    scene.page.getByRole('heading', { name: `Marks (${n})`, exact: true }).waitFor();
  /** The chosen mark's frame, and its name. */
  const chosen = async () => {
    const text = await scene.page.getByRole('group', { name: 'The chosen mark' }).locator('p').innerText();
    const [, name, frame] = /^(.*?)\s+(?:film \S+, frame (\d+)|force trace)$/s.exec(text)!;
    return { name: name!.trim(), frame: frame === undefined ? null : Number(frame) };
  };

  it('marks every stroke in the section with three keys a mark at most', async () => {
    const { page } = scene;
    await scene.go(`#/day/1/trial/${TRIAL}`);
    await page.getByRole('heading', { name: `Trial ${TRIAL}`, exact: true }).waitFor();
    await page.waitForFunction(() => document.querySelector('video')!.readyState >= 2);
    await page.waitForFunction(() => /Left hand\s+[−\d]/.test(document.querySelector('dl')!.innerText));
    pressed = 0;
    await press('q');
    await count(0);
    await press('Shift+G');
    await count(2 * STROKES);

    const cursorS = async () =>
      Number(await page.locator('[role="slider"]').first().getAttribute('aria-valuenow'));
    const reaches = (timeS: number, from: number) =>
      page
        .waitForFunction(
          ([to, least]) => {
            const now = Number(document.querySelector('[role="slider"]')!.getAttribute('aria-valuenow'));
            return now >= to! && now < least!;
          },
          [timeS, from] as const,
          { polling: 'raf', timeout: 15_000 },
        )
        .then(
          () => true,
          () => false,
        );
    /** Waits for the film; a busy machine's browser may leave it standing, and a person then plays it again. */
    const until = async (timeS: number, from: number) => {
      for (let tries = 0; tries < 8; tries++) {
        const before = await cursorS();
        if (await reaches(timeS, from)) return;
        if ((await cursorS()) !== before) continue;
        const { playing } = await page.evaluate(() => ({
          playing: !document.querySelector('video')!.paused,
        }));
        console.log(`the film stood still at ${before} s (${playing ? 'playing' : 'paused'}); played again`);
        if (playing) await press('Space');
        await press('Space');
      }
      throw new Error(`The film never came to ${timeS} s; it stands at ${await cursorS()} s.`);
    };
    const correct = async (timeS: number) => {
      const off = frameOf(timeS) - (await chosen()).frame!;
      if (off === 0) return;
      await press('Space');
      for (let steps = off; steps !== 0; steps -= Math.sign(steps)) await press(steps > 0 ? 'd' : 'a');
      await press('Space');
    };
    // The entry of the first stroke by single frames, from where the cursor is.
    const [first] = strokesOf('left');
    const byFrames: readonly FilmEvent[] = FILM_EVENTS.slice(0, 3);
    const frame = async () => Number(/Frame\s+(\d+)/.exec(await page.locator('dl').first().innerText())![1]);
    for (const event of byFrames) {
      const to = frameOf(first!.events_s[event]!);
      for (let steps = to - (await frame()); steps !== 0; steps -= Math.sign(steps))
        await press(steps > 0 ? 'ArrowRight' : 'ArrowLeft');
      await press(FILM_KEYS[event]);
    }
    // All others while it plays, the section over and over at a tenth of the speed: one round for each arm.
    for (const key of ['l', 'Shift+R', 'Shift+R', 'Shift+R', 'Space']) await press(key);
    for (const arm of ARMS) {
      if (arm === 'right') await press('h');
      const events = strokesOf(arm)
        .flatMap((stroke) => FILM_EVENTS.map((event) => ({ stroke, event, timeS: stroke.events_s[event]! })))
        .filter(({ stroke, event }) => stroke !== first || !byFrames.includes(event))
        .toSorted((a, b) => a.timeS - b.timeS);
      for (const { event, timeS } of events) {
        await until(timeS - FRAME_S / 2, timeS + 2);
        await press(FILM_KEYS[event]);
        await correct(timeS);
      }
    }
    await press('Space');
    await count(MARKS);
    console.log(`${pressed} keys for ${MARKS} marks: ${(pressed / MARKS).toFixed(2)} keys a mark`);
    expect(pressed / MARKS).toBeLessThanOrEqual(MOST_KEYS_PER_MARK);

    const wrong: string[] = [];
    const table = await marks();
    for (const arm of ARMS)
      for (const [index, { events_s: at }] of strokesOf(arm).entries())
        for (const event of FILM_EVENTS) {
          const name = `${arm === 'left' ? 'Left' : 'Right'} ${index + 1}, ${event.replaceAll('_', ' ')}`;
          const made = table.get(name)?.get('Made on') ?? 'not marked';
          if (!made.endsWith(`frame ${frameOf(at[event]!)}`)) wrong.push(`${name}: ${made}`);
        }
    expect(wrong).toEqual([]);
    expect(await page.getByRole('alert').count()).toBe(0);
  }, 300_000);

  it('shows the numbers that the command line gives for the exported day', async () => {
    const { page, place } = scene;
    const list = await readList(page, 'section[aria-labelledby="numbers-title"]');
    const table = await readTable(page, 'section[aria-labelledby="strokes-title"] table');
    await scene.go('#/day/1');
    await page.getByRole('button', { name: 'Export the day as a folder…' }).click();
    const dialog = page.getByRole('dialog', { name: 'Export the day as a folder' });
    await dialog.getByLabel('Path of another folder').fill(place.person);
    await dialog.getByRole('button', { name: 'Allow this place' }).click();
    await dialog.getByRole('listitem').filter({ hasText: place.person }).getByRole('button').first().click();
    await dialog.getByLabel(/^New folder in/).fill('marked-day');
    await dialog.getByRole('button', { name: 'Export here' }).click();
    await dialog.getByText(/files written to/).waitFor();

    const out = join(place.folder, 'dataset');
    const ran = await lanebench(['process', join(place.person, 'marked-day'), '--out', out]);
    expect(ran.status, ran.stderr).toBe(0);
    const read = (name: string) =>
      Papa.parse<Row>(readFileSync(join(out, name), 'utf8'), { header: true, skipEmptyLines: true }).data;
    const trial = read('trials.csv').find((row) => row['trial'] === TRIAL)!;
    const strokes = read('strokes.csv').filter((row) => row['trial'] === TRIAL);

    const wrong: string[] = [];
    const check = (where: string, shown: string | undefined, value: number | null, u: number | null) => {
      const fault = disagreement(shown ?? 'not on the screen', value, u);
      if (fault !== null) wrong.push(`${where}: ${fault}`);
    };
    for (const [name, column, factor] of [
      ['Velocity', 'velocity_m_s', 1],
      ['Stroke cycle time', 'cycle_time_s', 1],
      ['Index of coordination', 'idc_pct', 1],
      ['High-hand time', 'high_hand_s', 1000],
    ] as const) {
      expect(cell(trial[column]), column).not.toBeNull();
      check(name, list.get(name), cell(trial[column], factor), cell(trial[`${column}_u`], factor));
    }
    for (const [name, column] of [
      ['… into the left stroke', 'idc_left_pct'],
      ['… into the right stroke', 'idc_right_pct'],
      ['Peak, left', 'peak_force_left_n'],
      ['Peak, right', 'peak_force_right_n'],
      ['Mean, left', 'mean_force_left_n'],
      ['Impulse, right', 'impulse_right_ns'],
      ['Right against left', 'force_symmetry_pct'],
    ] as const)
      check(name, list.get(name), cell(trial[column]), cell(trial[`${column}_u`]));
    expect(trial['propulsion_basis']).toBe('force');
    expect(strokes.length).toBe(STROKES);
    expect(table.size).toBe(STROKES);
    for (const stroke of strokes) {
      const name = `${stroke['hand'] === 'left' ? 'Left' : 'Right'} ${stroke['stroke']}`;
      for (const [head, column, factor, u] of [
        ['Index of coordination', 'idc_pct', 1, null],
        ['High-hand time', 'high_hand_s', 1000, 'high_hand_s_u'],
        ['Peak force', 'peak_force_n', 1, 'peak_force_n_u'],
        ['Mean force', 'mean_force_n', 1, 'mean_force_n_u'],
        ['Impulse', 'impulse_ns', 1, 'impulse_ns_u'],
      ] as const)
        check(
          `${name}, ${head}`,
          table.get(name)?.get(head),
          cell(stroke[column], factor),
          u === null ? null : cell(stroke[u], factor),
        );
    }
    expect(wrong).toEqual([]);
  });

  const trialScreen = async (page = scene.page) => {
    await scene.go(`#/day/1/trial/${TRIAL}`);
    await page.getByRole('heading', { name: `Trial ${TRIAL}`, exact: true }).waitFor();
    await count(MARKS);
  };
  const saved = (page: Page) =>
    page.waitForResponse((response) => response.url().endsWith('/call/marks.edit'));

  it('takes back one action with one key, whatever was done', async () => {
    const { page } = scene;
    await trialScreen();
    const before = await marks();
    await page.keyboard.press(']');
    const [, kept] = await Promise.all([page.keyboard.press('Delete'), saved(page)]);
    expect(kept.ok()).toBe(true);
    await count(MARKS - 1);
    const turn = (way: 'undo' | 'redo') =>
      Promise.all([
        page.waitForResponse((response) => response.url().endsWith(`/call/history.${way}`)),
        page.keyboard.press(way === 'undo' ? 'Control+z' : 'Control+Shift+Z'),
      ]);
    await turn('undo');
    await count(MARKS);
    expect(await marks()).toEqual(before);
    // The action before it is that of the test before: a mark that was made, or one that was moved to its frame.
    await turn('undo');
    await expect.poll(marks, { timeout: WAIT_MS }).not.toEqual(before);
    await turn('redo');
    await expect.poll(marks, { timeout: WAIT_MS }).toEqual(before);
  });

  it('does not let two windows overwrite each other: the later one is told, and shown what is there', async () => {
    const { page } = scene;
    const other = await scene.anotherWindow(`#/day/1/trial/${TRIAL}`);
    const heading = (n: number) => other.getByRole('heading', { name: `Marks (${n})`, exact: true });
    await heading(MARKS).waitFor();
    await page.bringToFront();
    await page.keyboard.press(']');
    await Promise.all([page.keyboard.press('Delete'), saved(page)]);
    await other.bringToFront();
    await other.keyboard.press(']');
    await other.keyboard.press(']');
    await other.keyboard.press('Delete');
    const alert = other.getByRole('alert').filter({ hasText: 'was not kept' });
    await alert.waitFor();
    await heading(MARKS - 1).waitFor();
    await other.close();
    await page.keyboard.press('Control+z');
    await count(MARKS);
  });

  it('reads the entry position from points placed by keys, and gives its class to the stroke', async () => {
    const { page } = scene;
    const panel = page.getByRole('region', { name: 'Entry position from points on the frame' });
    await page.keyboard.press('b');
    const go = async (key: string, times: number) => {
      for (let k = 0; k < times; k++) await page.keyboard.press(key);
    };
    // Hand 30 px above the shoulder; a level water line 200 px long; 100 cm are 100 px.
    await page.keyboard.press('Enter');
    await go('Shift+ArrowDown', 3);
    await page.keyboard.press('Enter');
    await go('Shift+ArrowLeft', 10);
    await page.keyboard.press('Enter');
    await go('Shift+ArrowRight', 20);
    await page.keyboard.press('Enter');
    await go('Shift+ArrowDown', 2);
    await page.keyboard.press('Enter');
    await go('Shift+ArrowLeft', 10);
    await page.keyboard.press('Enter');
    // 30 px × 1 cm/px; 1.96 × √(2·1.5² + (30·√2·1.5/100)² + (30·0.5/100)²) cm, JCGM 100, 5.1.2.
    await panel.getByText(/The hand lies 30\.0 cm ± 4\.4 cm \(95 %\) above the shoulder/).waitFor();
    await panel.getByRole('button', { name: /^Take this class for/ }).click();
    await page
      .getByRole('region', { name: 'Marking' })
      .getByRole('radio', { name: 'Above', checked: true })
      .waitFor();
  });

  it('breaks no rule that axe-core can see while marking, in any theme', async () => {
    await scene.page.keyboard.press('p');
    expect(await axeFaults(scene.page, 'marking', [1280])).toEqual([]);
  });
});
