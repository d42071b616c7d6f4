/** Choosing a day folder: only below allowed places; what is refused is told; mended files alone come in again. */
import {
  cpSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  realpathSync,
  truncateSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import Papa from 'papaparse';
import { beforeAll, expect, it } from 'vitest';
import { lanebench } from '../main/cli/run.ts';
import { SAMPLE } from './app.ts';
import { journey } from './journey.ts';
import { cell, disagreement, readTable } from './shown.ts';

const TRIAL = 'P02-1';
/** A film so large that copying it leaves time to press a button, bytes. */
const LARGE = 400 * 1024 * 1024;

journey('the folder chooser', [], (scene) => {
  let pool: string;
  let broken: string;
  let mended: string;
  let line: number;

  beforeAll(() => {
    pool = join(realpathSync(scene.place.folder), 'pool');
    broken = join(pool, 'broken day');
    mkdirSync(pool);
    cpSync(SAMPLE, broken, { recursive: true });
    const lines = readFileSync(join(broken, 'events.csv'), 'utf8').split('\n');
    line = lines.findIndex((text) => text.startsWith(`${TRIAL},left,7,propulsion_start,`)) + 1;
    const withTime = (time: string) =>
      lines.toSpliced(line - 1, 1, lines[line - 1]!.replace(/,\d[\d.]*,video/, `,${time},video`)).join('\n');
    // Mended to another frame than before, so that no file of another day has the same content.
    mended = withTime((Number(lines[line - 1]!.split(',')[4]) + 0.02).toFixed(2));
    writeFileSync(join(broken, 'events.csv'), withTime('about ten'));
  });

  /** The trial and the refusals as `lanebench process` gives them for the folder as it is now. */
  async function processed(name: string) {
    const out = join(scene.place.folder, name);
    await lanebench(['process', broken, '--out', out]);
    const read = (table: string) =>
      Papa.parse<Record<string, string>>(readFileSync(join(out, table), 'utf8'), {
        header: true,
        skipEmptyLines: true,
      }).data;
    return { trial: read('trials.csv').find((row) => row['trial'] === TRIAL)!, refused: read('refused.csv') };
  }

  /** The index of coordination on the day screen against that one. */
  async function coordinationFault(trial: Readonly<Record<string, string>>) {
    const shown = (await readTable(scene.page, 'section.trials table'))
      .get(TRIAL)!
      .get('Index of coordination')!;
    return disagreement(shown, cell(trial['idc_pct']), cell(trial['idc_pct_u']));
  }

  const chooser = () => scene.page.getByRole('dialog', { name: 'Open a day folder' });
  const rawFiles = () =>
    readdirSync(join(scene.place.lab, 'raw'), { recursive: true, withFileTypes: true })
      .filter((entry) => entry.isFile())
      .map((entry) => entry.name);
  const call = (name: string, input: unknown) =>
    scene.page.evaluate(
      async ([name, input]) => {
        const answer = await fetch(`/call/${name as string}`, {
          method: 'POST',
          headers: { 'content-type': 'application/json' },
          body: JSON.stringify(input),
        });
        return (await answer.json()) as unknown;
      },
      [name, input],
    );

  async function openChooser() {
    await scene.go('#/days');
    await scene.page.getByRole('button', { name: 'Open a day folder…' }).click();
    await chooser()
      .getByRole('button', { name: /^Take off/ })
      .first()
      .waitFor();
  }

  async function openDay(name: string) {
    await openChooser();
    await chooser().locator('button.folder', { hasText: pool }).click();
    await chooser()
      .getByRole('button', { name: `Open the testing day ${name}` })
      .click();
    await chooser().waitFor({ state: 'detached' });
  }

  it('opens nothing outside the allowed places', async () => {
    await openChooser();
    expect(await call('days.open', { path: broken })).toMatchObject({
      ok: false,
      error: { code: 'place_not_allowed' },
    });
    expect(await call('places.list', { path: pool })).toMatchObject({
      ok: false,
      error: { code: 'place_not_allowed' },
    });
    expect(await call('days.list', {})).toEqual({ ok: true, value: [] });
  });

  it('says what is wrong with a path that is none, and allows one that is', async () => {
    const typed = chooser().getByLabel('Path of another folder');
    const allow = chooser().getByRole('button', { name: 'Allow this place' });
    await typed.fill(join(scene.place.folder, 'nowhere'));
    await allow.click();
    await chooser().getByRole('alert').filter({ hasText: 'There is no folder' }).waitFor();
    await typed.fill(pool);
    await allow.click();
    await chooser().locator('button.folder', { hasText: pool }).waitFor();
    expect(await chooser().getByRole('alert').count()).toBe(0);
    await chooser().getByRole('button', { name: 'Close', exact: true }).click();
  });

  it('leaves nothing of an opening that was cancelled', async () => {
    const { page } = scene;
    const large = join(pool, 'large day');
    cpSync(SAMPLE, large, { recursive: true });
    truncateSync(join(large, 'video', 'P01-1-A.mp4'), LARGE);
    await openDay('large day');
    // The tables are read and copied and the first trace is in by then, and the large film is on its way.
    await page.getByText(/^2\d of \d+ steps$/).waitFor();
    await page.getByRole('button', { name: 'Cancel' }).click();
    await page.getByRole('status').filter({ hasText: 'This was cancelled before it was done' }).waitFor();
    await page.getByRole('button', { name: 'Put this away' }).click();
    await page.getByRole('heading', { name: 'No testing day yet' }).waitFor();
    expect(await call('days.list', {})).toEqual({ ok: true, value: [] });
    expect(rawFiles()).toEqual([]);
  });

  it('shows a refusal with file, line and reason, and does without the mark', async () => {
    const { page } = scene;
    await openDay('broken day');
    await page.waitForURL(/#\/day\/\d+$/);
    const refusal = page.locator('section[aria-labelledby="refused"] tbody tr');
    await refusal.first().waitFor();
    const { trial, refused } = await processed('broken');
    expect(refused).toHaveLength(1);
    expect(await refusal.count()).toBe(1);
    const cells = await refusal.locator('td').allInnerTexts();
    expect(cells[0]).toMatch(/^events\.csv\s+time_s$/);
    expect(cells.slice(1)).toEqual([String(line), refused[0]!['reason']]);
    expect(cells[2]).toContain('about ten');
    expect(await coordinationFault(trial)).toBeNull();
    await scene.go('#/days');
    expect(await page.getByRole('row', { name: /harbour-morning/ }).innerText()).toContain('1\u00a0input');
  });

  it('brings in only what was mended, and the numbers follow', async () => {
    const { page } = scene;
    const before = new Set(rawFiles());
    const broke = (await processed('still-broken')).trial;
    writeFileSync(join(broken, 'events.csv'), mended);
    await openDay('broken day');
    await page.waitForURL(/#\/day\/\d+$/);
    await page.getByText('Nothing was refused').waitFor();
    expect(rawFiles().filter((name) => !before.has(name))).toHaveLength(1);
    const { trial } = await processed('mended');
    expect(trial['idc_pct']).not.toBe(broke['idc_pct']);
    expect(await coordinationFault(trial)).toBeNull();
    await scene.go('#/days');
    await page
      .getByRole('row', { name: /harbour-morning/ })
      .first()
      .waitFor();
    expect(await page.getByRole('row', { name: /harbour-morning/ }).count()).toBe(1);
  });

  it('refuses a folder whose place was taken off meanwhile', async () => {
    await openChooser();
    await chooser().locator('button.folder', { hasText: pool }).click();
    const open = chooser().getByRole('button', { name: 'Open the testing day broken day' });
    await open.waitFor();
    await call('places.forbid', { path: pool });
    await open.click();
    await chooser()
      .getByRole('alert')
      .filter({ hasText: 'does not lie in a place that you have allowed' })
      .waitFor();
  });
});
