/**
 * Clocks, curves and second opinions in a real browser. Moments of the lamp come from sync.csv of the sample day, where
 * whoever made the film wrote them down.
 */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { SAMPLE } from './app.ts';
import { axeFaults } from './axefaults.ts';
import { journey } from './journey.ts';

const PAIRS = readFileSync(join(SAMPLE, 'sync.csv'), 'utf8')
  .trim()
  .split('\n')
  .slice(1)
  .map((line) => line.split(','))
  .filter(([trial, camera]) => trial === 'P01-1' && camera === 'A')
  .map(([, , traceS, videoS]) => ({ traceS: Number(traceS), videoS: Number(videoS) }));

journey('clocks, curves and second opinions', ['--sample'], (scene) => {
  const open = async (trial: string) => {
    await scene.go(`#/day/1/trial/${trial}`);
    await scene.page.getByRole('heading', { name: `Trial ${trial}`, exact: true }).waitFor();
    await scene.page.waitForFunction(() => (document.querySelector('video')?.readyState ?? 0) >= 2);
  };
  /** Every theme, and no picture wider than its window. */
  const inEveryTheme = async (where: string): Promise<readonly string[]> => {
    const { page } = scene;
    const found = [...(await axeFaults(page, where, [1280]))];
    const [wide, window] = await page.evaluate(() => [
      document.documentElement.scrollWidth,
      document.documentElement.clientWidth,
    ]);
    if (wide! > window!) found.push(`${where}: ${wide} px wide in a window of ${window} px`);
    return found;
  };

  it('finds the lamp within the drawn box, proposes it, and leaves the pairs alone', async () => {
    const { page } = scene;
    await open('P01-1');
    await scene.part('Clocks');
    await page.getByText('Let the program propose moments').click();
    const finder = page.getByRole('region', { name: 'A lamp in the film' });
    await finder.getByRole('button', { name: 'Draw a box' }).click();
    // The lamp is drawn in the upper right corner of every sample film.
    await page.waitForTimeout(100);
    const picture = (await page.locator('video').boundingBox())!;
    const film = await page.locator('video').evaluate((video: HTMLVideoElement) => ({
      width: video.videoWidth,
      height: video.videoHeight,
    }));
    const scale = Math.min(picture.width / film.width, picture.height / film.height);
    const left = picture.x + (picture.width - film.width * scale) / 2;
    const at = (x: number, y: number) =>
      [left + x * film.width * scale, picture.y + y * film.height * scale] as const;
    await page.mouse.move(...at(0.895, 0.05));
    await page.mouse.down();
    await page.mouse.move(...at(0.96, 0.14), { steps: 4 });
    await page.mouse.up();
    expect(Number(await finder.getByLabel('Width').inputValue())).toBeGreaterThan(10);
    for (const [name, value] of [
      ['From', '7'],
      [/^to/, '9'],
    ] as const) {
      await finder.getByLabel(name).fill(value);
      await finder.getByLabel(name).press('Tab');
    }
    await finder.getByRole('button', { name: /^Read \d+ frames/ }).click();
    const [found] = await finder
      .locator('li button')
      .allInnerTexts()
      .then(async (texts) => {
        if (texts.length > 0) return texts;
        await finder.locator('li button').first().waitFor({ timeout: 60_000 });
        return finder.locator('li button').allInnerTexts();
      });
    const told = PAIRS.find(({ videoS }) => videoS > 7 && videoS < 9)!;
    expect(Number.parseFloat(found!)).toBeCloseTo(told.videoS, 3);
    await finder.locator('li button').first().click();
    await page.getByRole('region', { name: 'Cursors apart' }).waitFor();
    expect(await page.locator('[aria-label="Pairs of camera A"] tbody tr').count()).toBe(PAIRS.length);
    expect(await inEveryTheme('trial, cursors apart')).toEqual([]);
    await page.getByRole('button', { name: 'Join the cursors' }).first().click();
  });

  it('reading can be cancelled', async () => {
    const { page } = scene;
    const finder = page.getByRole('region', { name: 'A lamp in the film' });
    await finder.getByRole('button', { name: 'Whole film' }).click();
    await finder.getByRole('button', { name: /^Read \d+ frames/ }).click();
    await finder.getByText(/frame \d+ of \d+/).waitFor();
    await finder.getByRole('button', { name: 'Cancel' }).click();
    await finder.getByRole('button', { name: /^Read \d+ frames/ }).waitFor();
  });

  it('makes a pair by keys alone, and undo takes it back', async () => {
    const { page } = scene;
    const rows = page.locator('[aria-label="Pairs of camera A"] tbody tr');
    await open('P02-1');
    const before = await rows.count();
    await page.locator('main').focus();
    for (const key of ['k', 'ArrowRight', 'ArrowRight', 'Shift+ArrowLeft', 'Shift+K'])
      await page.keyboard.press(key);
    await expect.poll(() => rows.count()).toBe(before + 1);
    await page.getByRole('button', { name: 'Undo' }).click();
    await expect.poll(() => rows.count()).toBe(before);
    await page.locator('main').focus();
    await page.keyboard.press('k');
  });

  it('magnifies the picture by wheel and keys, and shows it as recorded again', async () => {
    const { page } = scene;
    const lens = page.locator('.lens');
    await page.locator('.pane').hover();
    await page.mouse.wheel(0, -300);
    expect(await lens.getAttribute('style')).not.toContain('scale(1)');
    await page.locator('main').focus();
    await page.keyboard.press('e');
    await page.keyboard.press('Shift+V');
    expect(await lens.getAttribute('style')).toContain('scale(1)');
  });

  it('saves the curves as PNG, SVG and CSV', async () => {
    const { page } = scene;
    await open('P01-1');
    await scene.part('Curves');
    const saved = async (button: string) => {
      const [download] = await Promise.all([
        page.waitForEvent('download'),
        page.getByRole('button', { name: button }).click(),
      ]);
      const file = join(scene.place.folder, download.suggestedFilename());
      await download.saveAs(file);
      return readFileSync(file);
    };
    const png = await saved('Save PNG');
    // The eight bytes that every PNG begins with (ISO/IEC 15948, 5.2), and its width in the header: twice the screen's.
    expect([...png.subarray(0, 8)]).toEqual([137, 80, 78, 71, 13, 10, 26, 10]);
    expect(png.readUInt32BE(16)).toBeGreaterThan(1200);
    expect((await saved('Save SVG')).toString()).toContain('Left hand: mean ± SD');
    const csv = (await saved('Save numbers (CSV)')).toString().split('\n');
    expect(csv.find((line) => line.startsWith('# trial'))).toBe('# trial: P01-1');
    expect(csv.filter((line) => /^\d/.test(line)).length).toBe(101);
  });

  it('lays another swimmer’s trial beside it', async () => {
    const { page } = scene;
    await page.getByRole('radio', { name: 'Beside another trial' }).check();
    await page.getByRole('combobox', { name: /^Other trial/ }).selectOption('P02-1');
    await page.getByText(/the times of P02-1 are shifted by/).waitFor();
    expect(await inEveryTheme('trial, two beside one another')).toEqual([]);
  });

  it('lets a second rater mark blind, and compares', async () => {
    const { page } = scene;
    await scene.go('#/day/1/second');
    await page.getByLabel('Rater code').fill('R9');
    await page.getByLabel('Seed of the order').fill('blue-lane');
    await page.getByRole('button', { name: 'None', exact: true }).click();
    for (const trial of ['P01-1', 'P02-1']) await page.getByRole('checkbox', { name: trial }).check();
    expect(await inEveryTheme('second opinion')).toEqual([]);
    await page.getByRole('button', { name: 'Begin', exact: true }).click();
    await page.getByRole('button', { name: 'Begin marking' }).click();
    await page.waitForURL(/#\/day\/1\/second\/\d+\/1$/);
    await page.getByRole('region', { name: 'Marking' }).first().waitFor();
    expect(await page.locator('main').innerText()).not.toMatch(/P0\d-\d|Swimmer|attempt/);
    expect(await inEveryTheme('blind item')).toEqual([]);
    await page.locator('main').focus();
    await page.keyboard.press('1');
    await page.getByRole('link', { name: 'All items' }).click();
    await page.getByText('1 of 2').waitFor();
    await page.getByRole('button', { name: 'Done…' }).click();
    await page.getByRole('button', { name: 'It is done' }).click();
    await page.getByText('Done: counts in the agreement.').waitFor();
    await page.getByRole('link', { name: 'Agreement of the raters' }).click();
    await page.getByRole('radio', { name: 'R1 and R2' }).check();
    await page.getByRole('heading', { name: 'R2 against R1' }).waitFor();
    expect(await inEveryTheme('agreement')).toEqual([]);
    const reported = page.getByRole('table', { name: 'Whose marks are reported' });
    const other = reported.getByRole('button', { name: 'Report the marks of R2 for trial P01-2…' });
    await other.click();
    await page.getByRole('textbox', { name: 'Reason' }).fill('Looked at together');
    await page.getByRole('button', { name: 'Report the marks of R2', exact: true }).click();
    await page.getByText('Trial P01-2: the marks of R2 are reported.').waitFor();
    await reported.getByRole('cell', { name: 'Looked at together' }).waitFor();
    await page.getByRole('button', { name: 'Undo' }).click();
    await other.waitFor();
  });
});
