/**
 * The unmarked sample trial marked from nothing by keyboard alone, each key counted; its numbers against those of
 * `lanebench process` on the exported day. Where the events are is told by sample-sessions/truth.json, not by the program.
 */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import Papa from 'papaparse';
import { expect, it } from 'vitest';
import { lanebench } from '../main/cli/run.ts';
import { ROOT } from './app.ts';
import { journey } from './journey.ts';
import { cell, disagreement, readList, readTable } from './shown.ts';

type Row = Readonly<Record<string, string>>;
type Arm = 'left' | 'right';
const TRIAL = 'P06-2';
const ARMS: readonly Arm[] = ['left', 'right'];
/** Number-row keys of the events that are marked on film. */
const FILM_KEYS = {
  water_entry: '1',
  arm_entry_complete: '2',
  below_shoulder_level: '3',
  water_exit: '7',
} as const;
type FilmEvent = keyof typeof FILM_KEYS;
const FILM_EVENTS = Object.keys(FILM_KEYS) as readonly FilmEvent[];
const MOST_KEYS_PER_MARK = 3;
const FRAME_S = 0.02;

interface Truth {
  readonly films: readonly { readonly offset_s: number; readonly rate: number }[];
  readonly hands: Readonly<
    Record<Arm, { strokes: readonly { in_section: boolean; events_s: Readonly<Record<string, number>> }[] }>
  >;
}
const truth = (
  JSON.parse(readFileSync(join(ROOT, 'sample-sessions', 'truth.json'), 'utf8')) as {
    trials: readonly (Truth & { trial: string })[];
  }
).trials.find(({ trial }) => trial === TRIAL)!;
const strokesOf = (arm: Arm) => truth.hands[arm].strokes.filter((stroke) => stroke.in_section);
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
  const count = (n: number) => scene.page.getByRole('heading', { name: `Marks (${n})`, exact: true }).waitFor();
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
    await count(16);

    const until = (timeS: number, from: number) =>
      page.waitForFunction(
        ([to, least]) => {
          const now = Number(document.querySelector('[role="slider"]')!.getAttribute('aria-valuenow'));
          return now >= to! && now < least!;
        },
        [timeS, from] as const,
        { polling: 'raf', timeout: 60_000 },
      );
    // The section over and over at a quarter of the speed: one round for each arm.
    for (const key of ['l', 'Shift+R', 'Shift+R']) await press(key);
    await press('Space');
    for (const arm of ARMS) {
      if (arm === 'right') await press('h');
      const events = strokesOf(arm)
        .flatMap(({ events_s: at }) => FILM_EVENTS.map((event) => ({ event, timeS: at[event]! })))
        .toSorted((a, b) => a.timeS - b.timeS);
      for (const { event, timeS } of events) {
        await until(timeS - FRAME_S / 2, timeS + 2);
        await press(FILM_KEYS[event]);
      }
    }
    await press('Space');
    await count(48);

    // Each mark once more: to the right frame where it came a frame or two late.
    let last = '';
    for (let name = (await chosen()).name; name !== last; name = (await chosen()).name) {
      last = name;
      await press(']');
    }
    const seen = new Set<string>();
    for (let mark = await chosen(); !seen.has(mark.name); mark = await chosen()) {
      seen.add(mark.name);
      const [, arm, stroke, words] = /^(Left|Right) (\d+), (.*)$/.exec(mark.name)!;
      const event = FILM_EVENTS.find((one) => one.replaceAll('_', ' ') === words);
      if (event !== undefined) {
        const at = strokesOf(arm!.toLowerCase() as Arm)[Number(stroke) - 1]!.events_s[event]!;
        for (let steps = frameOf(at) - mark.frame!; steps !== 0; steps -= Math.sign(steps))
          await press(steps > 0 ? 'd' : 'a');
      }
      await press('[');
    }
    expect(seen.size).toBe(48);
    console.log(`${pressed} keys for 48 marks: ${(pressed / 48).toFixed(2)} keys a mark`);
    expect(pressed / 48).toBeLessThanOrEqual(MOST_KEYS_PER_MARK);

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
      ['Shoulder exposure', 'shoulder_exposure_s', 1000],
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
      check(name, list.get(name), cell(trial[column]), null);
    expect(trial['propulsion_basis']).toBe('force');
    expect(strokes.length).toBe(8);
    expect(table.size).toBe(8);
    for (const stroke of strokes) {
      const name = `${stroke['hand'] === 'left' ? 'Left' : 'Right'} ${stroke['stroke']}`;
      for (const [head, column, factor, u] of [
        ['Index of coordination', 'idc_pct', 1, null],
        ['Shoulder exposure', 'shoulder_exposure_s', 1000, 'shoulder_exposure_s_u'],
        ['Peak force', 'peak_force_n', 1, 'peak_force_n_u'],
        ['Mean force', 'mean_force_n', 1, null],
        ['Impulse', 'impulse_ns', 1, null],
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
});
