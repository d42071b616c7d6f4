/**
 * Two unmarked trials marked from nothing by keyboard alone, each key counted; the numbers of one against those of
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
/** A trial whose marks are taken away first, and the one before it, from which it is gone to. */
const [SECOND, BEFORE] = ['P07-2', 'P06-2'];
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
/** Keys that step the film, by frames. */
const STEPS: Readonly<Record<string, string>> = {
  '1': 'ArrowRight',
  '-1': 'ArrowLeft',
  '5': 'Control+ArrowRight',
  '-5': 'Control+ArrowLeft',
  '10': 'Control+Shift+ArrowRight',
  '-10': 'Control+Shift+ArrowLeft',
};
const WAIT_MS = 60_000;
const FRAME_S = 0.02;

interface Truth {
  readonly trial: string;
  readonly section_start_s: number;
  readonly section_end_s: number;
  readonly films: readonly { readonly offset_s: number; readonly rate: number }[];
  readonly hands: Readonly<
    Record<Arm, { strokes: readonly { stroke: number; events_s: Readonly<Record<string, number>> }[] }>
  >;
}
const { trials } = JSON.parse(readFileSync(join(ROOT, 'sample-sessions', 'truth.json'), 'utf8')) as {
  trials: readonly Truth[];
};
/** What a trial holds: strokes whose propulsion, read from force, lies in the section, and the frames of a moment. */
function truthOf(name: string) {
  const truth = trials.find(({ trial }) => trial === name)!;
  const strokesOf = (arm: Arm) =>
    truth.hands[arm].strokes.filter(
      ({ events_s: at }) =>
        at['propulsion_start']! >= truth.section_start_s && at['propulsion_end']! <= truth.section_end_s,
    );
  const { offset_s: offset, rate } = truth.films[0]!;
  const frameOf = (traceS: number) => Math.round((traceS - offset) / rate / FRAME_S);
  const strokes = strokesOf('left').length + strokesOf('right').length;
  return { strokesOf, frameOf, strokes, marks: 6 * strokes };
}
const { strokes: STROKES, marks: MARKS } = truthOf(TRIAL);

journey('marking by keyboard alone', ['--sample'], (scene) => {
  let pressed = 0;
  const press = async (key: string) => {
    pressed += 1;
    await scene.page.keyboard.press(key);
  };
  const marks = () => readTable(scene.page, 'section[aria-labelledby="marks-title"] table');
  const count = (n: number) =>
    scene.page.getByRole('heading', { name: `Marks (${n})`, exact: true }).waitFor();
  /** Takes all marks and judgements of a trial away, so that there is a second one to mark from nothing. */
  const unmark = (trial: string) =>
    scene.page.evaluate(async (name) => {
      const call = async (what: string, input: object) => {
        const answer = await fetch(`/call/${what}`, {
          method: 'POST',
          headers: { 'content-type': 'application/json' },
          body: JSON.stringify({ day: 1, trial: name, ...input }),
        });
        return ((await answer.json()) as { value: { marking: Record<string, unknown> } }).value.marking;
      };
      const { marks: seen } = await call('trials.get', {});
      const { judgements, marks: left } = await call('marks.edit', { seen, now: [], says: 'all taken away' });
      await call('marks.judge', { seen: judgements, now: [], says: 'all taken away' });
      return (left as unknown[]).length;
    }, trial);

  it.each([SECOND, TRIAL])(
    'marks every stroke in the section of %s with less than three keys a mark',
    async (trial) => {
      const { page } = scene;
      const { strokesOf, frameOf, strokes, marks: all } = truthOf(trial);
      pressed = 0;
      if (trial === SECOND) {
        await scene.go(`#/day/1/trial/${BEFORE}`);
        await page.getByRole('heading', { name: `Trial ${BEFORE}`, exact: true }).waitFor();
        expect(await unmark(SECOND)).toBe(0);
        await page.reload();
        await page.getByRole('heading', { name: `Trial ${BEFORE}`, exact: true }).waitFor();
      }
      await press('Shift+J');
      await page.getByRole('heading', { name: `Trial ${trial}`, exact: true }).waitFor();
      await page.waitForFunction(() => document.querySelector('video')!.readyState >= 2);
      const readout = page.locator('dl[aria-label="At the cursor"]');
      await expect.poll(() => readout.innerText(), { timeout: WAIT_MS }).toMatch(/Left hand\s+[−\d]/);
      if (trial === SECOND) await press('q');
      await count(0);
      await press('Shift+G');
      await page
        .getByText(/are drawn on the trace now/)
        .first()
        .waitFor();
      await press('Shift+G');
      await count(2 * strokes);
      const settled = () =>
        page.waitForFunction(
          () => document.querySelector('video')!.getAttribute('aria-busy') === 'false',
          undefined,
          { polling: 50 },
        );
      const frame = async () => {
        await settled();
        return Number(/Frame\s+(\d+)/.exec(await readout.innerText())![1]);
      };
      /** By tens, fives and single frames, whichever way is shortest. */
      const stepTo = async (to: number) => {
        for (let off = to - (await frame()); off !== 0;) {
          const by = [10, 5, 1].find((step) => Math.abs(off) > step / 2)! * Math.sign(off);
          await press(STEPS[String(by)]!);
          off -= by;
        }
        expect(await frame()).toBe(to);
      };

      for (const arm of ARMS) {
        if (arm === 'right') await press('h');
        const events = strokesOf(arm).flatMap((stroke) =>
          FILM_EVENTS.map((event) => ({ event, timeS: stroke.events_s[event]! })),
        );
        for (const [index, { event, timeS }] of events.entries()) {
          // The cursor goes on by itself; to the first mark of an arm it is sent, or stepped.
          if (index === 0 && arm === 'right') await press(';');
          await stepTo(frameOf(timeS));
          await press(FILM_KEYS[event]);
        }
      }
      await count(all);
      console.log(`${trial}: ${pressed} keys for ${all} marks: ${(pressed / all).toFixed(2)} keys a mark`);
      expect(pressed / all).toBeLessThan(MOST_KEYS_PER_MARK);

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
    },
    300_000,
  );

  it('shows the numbers that the command line gives for the exported day', async () => {
    const { page, place } = scene;
    await scene.part('All numbers');
    const list = await readList(page, 'section[aria-labelledby="numbers-title"]');
    await scene.part('Strokes');
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

  it('gives the film nearly half of the screen, and moves nothing when something is said', async () => {
    const { page } = scene;
    await trialScreen();
    for (const [width, height] of [
      [1280, 800],
      [1920, 1080],
    ] as const) {
      await page.setViewportSize({ width, height });
      const layout = () =>
        page.evaluate(() => {
          const { width: w, height: h, top, left } = document.querySelector('video')!.getBoundingClientRect();
          const film = document.querySelector('video')!;
          const scale = Math.min(w / film.videoWidth, h / film.videoHeight);
          const filmPx = scale ** 2 * film.videoWidth * film.videoHeight;
          const trace = document.querySelector('.stage')!.getBoundingClientRect();
          return {
            share: filmPx / (innerWidth * innerHeight),
            place: [w, h, top + scrollY, left, trace.top + scrollY],
            lowest: trace.bottom - document.querySelector('.room')!.getBoundingClientRect().top,
          };
        });
      await expect.poll(async () => (await layout()).share).toBeGreaterThan(0.45);
      const before = await layout();
      // Film, transport, readout and trace lie in one window.
      expect(before.lowest).toBeLessThanOrEqual(height);
      const said = page.locator('section[aria-label="Marking"] .live');
      const first = await said.innerText();
      await page.keyboard.press('h');
      await expect.poll(() => said.innerText(), { timeout: WAIT_MS }).not.toBe(first);
      expect((await layout()).place).toEqual(before.place);
    }
    await page.setViewportSize({ width: 1280, height: 800 });
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
