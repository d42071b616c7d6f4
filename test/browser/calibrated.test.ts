/**
 * What calibration means for a day, by keyboard alone in the real program: a hand traced on a drawn photograph, its
 * forces, a zero confirmed, another calibration rule, and the uncertainty budget.
 */
import type { Point } from '../../core/force/outline.ts';
import { expect, it } from 'vitest';
import {
  A5_CORNERS,
  HAND_CM2,
  handOutline,
  photographed,
  PHOTO_PX,
} from '../renderer/calibrated/drawnhand.ts';
import { axeFaults } from './axefaults.ts';
import { journey, type Scene } from './journey.ts';
import { readTable } from './shown.ts';

const TRIAL = 'P01-1';
const ROSTER_CM2 = 142;
const MOST_STOPS = 120;

/** A PNG of the drawn hand beside a white A5 sheet, drawn in the window itself. */
async function drawnPhotograph({ page }: Scene): Promise<Buffer> {
  const url = await page.evaluate(
    ({ sheet, hand, size }) => {
      const canvas = document.createElement('canvas');
      [canvas.width, canvas.height] = [size.width, size.height];
      const picture = canvas.getContext('2d')!;
      const fill = (points: readonly Point[], colour: string) => {
        picture.fillStyle = colour;
        picture.beginPath();
        for (const { x, y } of points) picture.lineTo(x, y);
        picture.fill();
      };
      picture.fillStyle = '#2F6B4F';
      picture.fillRect(0, 0, size.width, size.height);
      fill(sheet, '#FFFFFF');
      fill(hand, '#C99B6D');
      return canvas.toDataURL('image/png');
    },
    { sheet: A5_CORNERS.map(photographed), hand: handOutline().map(photographed), size: PHOTO_PX },
  );
  return Buffer.from(url.split(',')[1]!, 'base64');
}

class Keyboard {
  readonly #scene: Scene;
  #at: Point = { x: PHOTO_PX.width / 2, y: PHOTO_PX.height / 2 };

  constructor(scene: Scene) {
    this.#scene = scene;
  }

  press(key: string): Promise<void> {
    return this.#scene.page.keyboard.press(key);
  }

  async tabTo(name: RegExp, key = 'Tab'): Promise<void> {
    const seen: string[] = [];
    for (let stop = 0; stop < MOST_STOPS; stop++) {
      await this.press(key);
      const focused = await this.#scene.page.evaluate(() => {
        const element = document.activeElement as HTMLElement;
        const label = (element as HTMLInputElement).labels?.[0]?.innerText;
        const text = element.getAttribute('aria-label') ?? label ?? element.textContent;
        return text.replaceAll(/\s+/g, ' ').trim();
      });
      if (name.test(focused)) return;
      seen.push(focused.slice(0, 40));
    }
    throw new Error(`${key} never came to ${name}: ${seen.join(' › ')}`);
  }

  /** Walks the crosshair to a point, in steps of 100, 10 and 1 px, and places it. */
  async place({ x, y }: Point): Promise<void> {
    const to = { x: Math.round(x), y: Math.round(y) };
    for (const [by, less, more] of [
      [to.x - this.#at.x, 'ArrowLeft', 'ArrowRight'],
      [to.y - this.#at.y, 'ArrowUp', 'ArrowDown'],
    ] as const) {
      const key = by < 0 ? less : more;
      const far = Math.abs(by);
      for (let k = 0; k < Math.floor(far / 100); k++) await this.press(`Control+${key}`);
      for (let k = 0; k < Math.floor((far % 100) / 10); k++) await this.press(`Shift+${key}`);
      for (let k = 0; k < far % 10; k++) await this.press(key);
    }
    this.#at = to;
    await this.press('Enter');
  }
}

journey('what calibration means for a day', ['--sample'], (scene) => {
  const status = (says: string | RegExp) =>
    scene.page.getByRole('status').filter({ hasText: says }).first().waitFor();
  const peakLeft = async () => {
    await scene.go('#/day/1');
    await scene.page.getByRole('link', { name: TRIAL, exact: true }).waitFor();
    const text = await scene.page
      .getByRole('row')
      .filter({ has: scene.page.getByRole('link', { name: TRIAL, exact: true }) })
      .getByRole('cell')
      .filter({ hasText: 'Peak force left' })
      .innerText();
    return Number(/(\d+\.\d+)/.exec(text)![1]);
  };
  const areaSays = async (keyboard: Keyboard) => {
    await scene.go(`#/day/1/trial/${TRIAL}`);
    await scene.page.getByRole('heading', { name: `Trial ${TRIAL}`, exact: true }).waitFor();
    // The tab that was looked at last is the one that Tab comes to.
    await keyboard.tabTo(/^(Strokes|Uncertainty)$/);
    await keyboard.press('Home');
    for (let step = 0; step < 4; step++) await keyboard.press('ArrowRight');
    await scene.page.getByRole('table', { name: 'Sources of uncertainty' }).waitFor();
    return scene.page.locator('section[aria-labelledby="budget-title"]').innerText();
  };
  let before = 0;

  it('traces a hand on a photograph and keeps its area', async () => {
    const { page } = scene;
    await page.getByRole('heading', { name: 'harbour-morning' }).waitFor();
    before = await peakLeft();
    const keyboard = new Keyboard(scene);
    await keyboard.tabTo(/^Hand areas$/);
    await keyboard.press('Enter');
    await page.getByRole('button', { name: /^P01, left hand/ }).waitFor();
    await keyboard.tabTo(/^P01, left hand: 142\.0 ± 2\.0 cm², from the roster/);
    await keyboard.press('Enter');
    await keyboard.tabTo(/^Photograph from this computer$/);
    // The system's own file dialog cannot be driven; the file is given to the field that has the focus.
    await page.locator('input:focus').setInputFiles({
      name: 'drawn-hand.png',
      mimeType: 'image/png',
      buffer: await drawnPhotograph(scene),
    });
    await page.getByRole('application', { name: 'Photograph to trace on' }).waitFor();
    await keyboard.tabTo(/^Photograph to trace on$/);
    for (const corner of A5_CORNERS) await keyboard.place(photographed(corner));
    const outline = handOutline().map(photographed);
    for (const point of [...outline, outline[0]!]) await keyboard.place(point);
    await page.getByRole('listitem').filter({ hasText: 'Outline 1:' }).waitFor();
    // The second time a pixel beside, as hands do.
    const again = outline.map(({ x, y }, k) => ({ x: x + (k % 3) - 1, y: y + ((k + 1) % 3) - 1 }));
    for (const point of [...again, again[0]!]) await keyboard.place(point);
    await page.getByRole('listitem').filter({ hasText: 'Outline 2:' }).waitFor();
    await keyboard.tabTo(/^Keep for P01, left hand$/);
    await keyboard.press('Enter');
    await status(/P01, left hand: .* kept/);
    const shown = await page
      .getByRole('button', { name: /^P01, left hand: .*, traced/ })
      .getAttribute('aria-label');
    const [, area, u] = /: (\d+\.?\d*)\s±\s(\d+\.?\d*)\scm², traced/.exec(shown!)!;
    // Within twice its standard uncertainty of the drawn hand's area, which is a sum of rectangles.
    expect(Math.abs(Number(area) - HAND_CM2)).toBeLessThan(2 * Number(u));
    expect(Number(u)).toBeLessThan(5);
  });

  it('shows the forces changed with it, and takes it back', async () => {
    const keyboard = new Keyboard(scene);
    const after = await peakLeft();
    // Force is proportional to area (formats.md section 3: F = Δp × hand area).
    expect(after / before).toBeCloseTo(HAND_CM2 / ROSTER_CM2, 1);
    expect(after).not.toBe(before);
    expect(await areaSays(keyboard)).toMatch(/Left hand: area .*, traced on a photograph/);
    await keyboard.press('Control+z');
    await status('Taken back');
    expect(await peakLeft()).toBe(before);
    expect(await areaSays(keyboard)).toMatch(/Left hand: area .*, from the roster/);
  });

  it('confirms a zero from the quiet second at the start of a trial, and takes it back', async () => {
    const { page } = scene;
    const keyboard = new Keyboard(scene);
    await scene.go('#/day/1');
    await keyboard.tabTo(/^Zeros$/);
    await keyboard.press('Enter');
    await page.getByRole('heading', { name: 'Zeros through the day' }).waitFor();
    await page.getByRole('table', { name: 'Zeros of S-01, left hand' }).waitFor();
    await keyboard.tabTo(/^Zeros… of S-01 in trial P01-2$/);
    await keyboard.press('Enter');
    const dialog = page.getByRole('dialog');
    await dialog.getByText('held upright it reads the depth between its two taps').waitFor();
    await dialog
      .getByText(/The hand was still from/)
      .first()
      .waitFor();
    await keyboard.tabTo(/^Confirm the proposed zero before the trial$/);
    await keyboard.press('Enter');
    await dialog.getByText('confirmed here').waitFor();
    await keyboard.press('Escape');
    const cell = async () =>
      (await readTable(page, 'section[aria-labelledby="sensor-S-01"] table')).get('P01-2')!.get('Before')!;
    await expect.poll(cell).toContain('confirmed here');
    await keyboard.press('Control+z');
    await status('Taken back');
    await expect.poll(cell).not.toContain('confirmed here');
  });

  it('tries another calibration rule, keeps it, and takes it back', async () => {
    const { page } = scene;
    const keyboard = new Keyboard(scene);
    await scene.go('#/day/1/calibration');
    await page.getByRole('heading', { name: 'In use now: the day’s own' }).waitFor();
    await keyboard.tabTo(/^The day’s own/);
    await keyboard.press('ArrowDown');
    await page.getByRole('table', { name: 'Peak forces before and after' }).waitFor();
    await status(/peak force/);
    await keyboard.tabTo(/^Keep this rule$/);
    await keyboard.press('Enter');
    await page.getByRole('heading', { name: 'In use now: latest accepted before the trial' }).waitFor();
    await keyboard.press('Control+z');
    await page.getByRole('heading', { name: 'In use now: the day’s own' }).waitFor();
  });

  it('shows the budget of a force, source by source', async () => {
    const keyboard = new Keyboard(scene);
    await areaSays(keyboard);
    const sources = await readTable(scene.page, 'table:has(caption:text-is("Sources of uncertainty"))');
    expect([...sources.keys()]).toHaveLength(6);
    const shares = [...sources.values()].map((row) => Number(row.get('Share')));
    expect(shares.reduce((sum, share) => sum + share)).toBeCloseTo(100, 0);
    const totals = scene.page.getByRole('table', { name: 'Total uncertainty of the force' });
    await totals.getByText('As beside forces: sources independent').waitFor();
  });

  it('breaks no rule that axe can see, in any theme', async () => {
    const { page } = scene;
    const found: string[] = [];
    const look = async (what: string) => void found.push(...(await axeFaults(page, what, [1280])));
    await scene.go('#/day/1/zeros');
    await page.getByRole('table', { name: 'Zeros of S-01, left hand' }).waitFor();
    await look('zeros');
    await page.getByRole('button', { name: 'Zeros… of S-01 in trial P01-2' }).click();
    await page.getByText('The hand was still from').first().waitFor();
    await look('a zero');
    await page.keyboard.press('Escape');
    await scene.go('#/day/1/calibration');
    await page.getByRole('radio', { name: /^Latest accepted before/ }).check();
    await page.getByRole('table', { name: 'Peak forces before and after' }).waitFor();
    await look('a rule on trial');
    await scene.go('#/day/1/hands');
    await page.getByRole('button', { name: /^P03, left hand/ }).click();
    await page.getByLabel('Photograph from this computer').setInputFiles({
      name: 'drawn-hand.png',
      mimeType: 'image/png',
      buffer: await drawnPhotograph(scene),
    });
    await page.getByRole('application', { name: 'Photograph to trace on' }).waitFor();
    await look('tracing');
    await page.getByRole('radio', { name: 'Estimate (adults)' }).check();
    await page.getByText('measured, not estimated').first().waitFor();
    await look('a child’s hand');
    await scene.go(`#/day/1/trial/${TRIAL}`);
    await scene.part('Uncertainty');
    await page.getByRole('table', { name: 'Sources of uncertainty' }).waitFor();
    await look('budget');
    expect(found).toEqual([]);
  });
});
