/** The first start: an empty screen, the sample day in one click, and the numbers that `lanebench process` gives. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import Papa from 'papaparse';
import { beforeAll, expect, it } from 'vitest';
import { lanebench } from '../main/cli/run.ts';
import { SAMPLE } from './app.ts';
import { journey } from './journey.ts';
import { cell, disagreement, readList, readTable } from './shown.ts';

type Row = Readonly<Record<string, string>>;
const WITHDRAWN = 'P08';

journey('the first start', [], (scene) => {
  let trials: readonly Row[];
  let strokes: readonly Row[];

  beforeAll(async () => {
    const out = join(scene.place.folder, 'dataset');
    const ran = await lanebench(['process', SAMPLE, '--out', out]);
    expect(ran.status, ran.stderr).toBe(0);
    const read = (name: string) =>
      Papa.parse<Row>(readFileSync(join(out, name), 'utf8'), { header: true, skipEmptyLines: true }).data;
    [trials, strokes] = [read('trials.csv'), read('strokes.csv')];
  });

  const pageSays = () =>
    scene.page.evaluate(() => document.documentElement.outerHTML + document.body.innerText);

  it('says what belongs on the empty screen and opens the sample day in one click', async () => {
    const { page } = scene;
    await page.getByRole('heading', { name: 'No testing day yet' }).waitFor();
    expect(await page.locator('main').innerText()).toMatch(
      /A testing day belongs here\. Begin one from a protocol .* or open a folder with a day\.json/,
    );
    await page.getByRole('button', { name: 'Open the sample day' }).click();
    await page.getByRole('progressbar', { name: /^Opening/ }).waitFor();
    await page.waitForURL(/#\/day\/1$/);
    await page.getByRole('heading', { name: 'harbour-morning' }).waitFor();
    expect(await pageSays()).not.toContain(WITHDRAWN);
  });

  it('lists the day with its counts', async () => {
    const { page } = scene;
    await scene.go('#/days');
    const row = page.getByRole('row', { name: /harbour-morning/ });
    const text = (await row.innerText()).replaceAll('\u00a0', ' ');
    const count = (check: string) => trials.filter((trial) => trial['check'] === check).length;
    const swimmers = new Set(trials.map((trial) => trial['participant'])).size;
    for (const words of [
      `${swimmers} swimmers`,
      `${trials.length} trials`,
      `${count('good')} good`,
      `${count('look')} in doubt`,
      `${count('swim_again')} swim again`,
      'nothing',
    ])
      expect(text).toContain(words);
    expect(trials.length).toBe(14);
    expect(await pageSays()).not.toContain(WITHDRAWN);
  });

  it('is left before the day has come, without a fault', async () => {
    const { page } = scene;
    await page.route('**/call/days.get', async (route) => {
      await page.waitForTimeout(300);
      await route.continue();
    });
    const answered = page.waitForResponse('**/call/days.get');
    await scene.go('#/day/1');
    await page.getByText('Reading the day…').waitFor();
    await scene.go('#/days');
    await answered;
    await page.unroute('**/call/days.get');
    await page.waitForTimeout(100);
    expect(await page.getByRole('alert').count()).toBe(0);
  });

  it('shows on the day every trial with its verdict in words and the numbers of the dataset', async () => {
    const { page } = scene;
    await page.getByRole('link', { name: 'harbour-morning' }).first().click();
    await page.locator('section.trials table').waitFor();
    const shown = await readTable(page, 'section.trials table');
    expect([...shown.keys()]).toEqual(trials.map((trial) => trial['trial']));
    const words: Row = { good: 'Good', look: 'In doubt', swim_again: 'Swim again' };
    const wrong: string[] = [];
    for (const trial of trials) {
      const code = trial['trial']!;
      const row = shown.get(code)!;
      const verdict = row.get('Verdict and why')!;
      if (!verdict.toLowerCase().startsWith(words[trial['check']!]!.toLowerCase()))
        wrong.push(`${code}: ${verdict}`);
      if (!verdict.includes(trial['check_reason']!)) wrong.push(`${code} gives no reason: ${verdict}`);
      const period = cell(trial['cycle_time_s']);
      const periodU = cell(trial['cycle_time_s_u']);
      const rateU = period === null || periodU === null ? null : (60 * periodU) / period ** 2;
      const check = (column: string, value: number | null, u: number | null) => {
        const fault = disagreement(row.get(column)!, value, u);
        if (fault !== null) wrong.push(`${code}, ${column}: ${fault}`);
      };
      const [speed, speedU] = [cell(trial['velocity_m_s']), cell(trial['velocity_m_s_u'])];
      // Not in the dataset: u of a product of independent quantities (JCGM 100, 5.1.6).
      const lengthU =
        period === null || periodU === null || speed === null || speedU === null
          ? null
          : Math.hypot(period * speedU, speed * periodU);
      check('Velocity', speed, speedU);
      check('Stroke length', cell(trial['stroke_length_m']), lengthU);
      check('Stroke rate', cell(trial['stroke_rate_cpm']), rateU);
      check('Index of coordination', cell(trial['idc_pct']), cell(trial['idc_pct_u']));
      check('High-hand time', cell(trial['high_hand_s'], 1000), cell(trial['high_hand_s_u'], 1000));
      check('Peak force left', cell(trial['peak_force_left_n']), cell(trial['peak_force_left_n_u']));
      check('Peak force right', cell(trial['peak_force_right_n']), cell(trial['peak_force_right_n_u']));
    }
    expect(wrong).toEqual([]);
  });

  it('shows on a trial the numbers of the dataset, of the trial and of each stroke', async () => {
    const { page } = scene;
    const wrong: string[] = [];
    for (const code of ['P01-1', 'P04-2', 'P05-2', 'P02-2', 'P03-2']) {
      await scene.go(`#/day/1/trial/${code}`);
      await page.getByRole('heading', { name: `Trial ${code}`, exact: true }).waitFor();
      const trial = trials.find((one) => one['trial'] === code)!;
      await scene.part('All numbers');
      const list = await readList(page, 'section[aria-labelledby="numbers-title"]');
      const check = (where: string, shown: string | undefined, value: number | null, u: number | null) => {
        const fault = disagreement(shown ?? 'not on the screen', value, u);
        if (fault !== null) wrong.push(`${code}, ${where}: ${fault}`);
      };
      for (const [name, column, factor] of [
        ['Velocity', 'velocity_m_s', 1],
        ['Stroke cycle time', 'cycle_time_s', 1],
        ['Index of coordination', 'idc_pct', 1],
        ['High-hand time', 'high_hand_s', 1000],
      ] as const)
        check(name, list.get(name), cell(trial[column], factor), cell(trial[`${column}_u`], factor));
      for (const [name, column] of [
        ['… into the left stroke', 'idc_left_pct'],
        ['… into the right stroke', 'idc_right_pct'],
        ['Peak, left', 'peak_force_left_n'],
        ['Mean, right', 'mean_force_right_n'],
        ['Impulse, left', 'impulse_left_ns'],
        ['Right against left', 'force_symmetry_pct'],
        ['Zero shift, left', 'zero_shift_left_kpa'],
        ['Zero shift, right', 'zero_shift_right_kpa'],
      ] as const)
        check(name, list.get(name), cell(trial[column]), cell(trial[`${column}_u`]));

      await scene.part('Strokes');
      const table = await readTable(page, 'section[aria-labelledby="strokes-title"] table');
      const own = strokes.filter((stroke) => stroke['trial'] === code);
      expect(table.size).toBe(own.length);
      for (const stroke of own) {
        const name = `${stroke['hand'] === 'left' ? 'Left' : 'Right'} ${stroke['stroke']}`;
        const row = table.get(name);
        for (const [head, column, factor, u] of [
          ['Index of coordination', 'idc_pct', 1, null],
          ['High-hand time', 'high_hand_s', 1000, 'high_hand_s_u'],
          ['Entry and catch', 'entry_catch_pct', 1, null],
          ['Pull', 'pull_pct', 1, null],
          ['Push', 'push_pct', 1, null],
          ['Recovery', 'recovery_pct', 1, null],
          ['Peak force', 'peak_force_n', 1, 'peak_force_n_u'],
          ['Mean force', 'mean_force_n', 1, 'mean_force_n_u'],
          ['Impulse', 'impulse_ns', 1, 'impulse_ns_u'],
        ] as const)
          check(
            `${name}, ${head}`,
            row?.get(head),
            cell(stroke[column], factor),
            u === null ? null : cell(stroke[u], factor),
          );
      }
      expect(await pageSays()).not.toContain(WITHDRAWN);
    }
    expect(wrong).toEqual([]);
  });

  it('has never told the window of a swimmer who withdrew consent', async () => {
    const heard = await scene.heard();
    const calls = new Set(heard.map(({ call }) => call));
    for (const call of ['app.describe', 'days.list', 'days.openSample', 'jobs.get', 'days.get', 'trials.get'])
      expect(calls).toContain(call);
    expect(heard.filter(({ answer }) => answer.includes(WITHDRAWN)).map(({ call }) => call)).toEqual([]);
    const statuses = await scene.page.evaluate(async (code) => {
      const paths = [`/samples/1/${code}-1/left`, `/film/1/${code}-1/A`];
      return Promise.all(paths.map(async (path) => (await fetch(path)).status));
    }, WITHDRAWN);
    expect(statuses).toEqual([404, 404]);
    // The window's console tells of the two addresses that are rightly not there.
    expect(scene.faults.splice(0)).toHaveLength(2);
  });
});
