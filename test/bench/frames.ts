/**
 * Holds picture and number against one another over a thousand pauses, steps, seeks and marks, or as many as are asked
 * for, in all sample films and by both ways to a picture, while as many busy processes as the machine has cores run
 * beside it. Prints how often they differed; fails if they ever did.
 *
 *   node test/bench/frames.ts [moves in all, 1000]
 */
import { spawn } from 'node:child_process';
import { availableParallelism } from 'node:os';
import type { Page } from 'playwright-core';
import { ensureBuilt } from '../../main/start/build.ts';
import { launchBrowser, makeWorkplace, missingBrowser, ROOT, startProgram } from '../browser/app.ts';
import {
  disagreement,
  FILMS,
  filmMoves,
  look,
  seeded,
  settle,
  showFilm,
  takeWay,
  WAYS,
} from '../browser/filmlook.ts';

const WHOLE = 1000;
const BUSY = 'for (;;) Math.sqrt(Math.random());';
const EVENT_KEYS = ['1', '2', '3', '4', '5', '6', '7'];

/** Marks whatever event may be marked here while the film plays; the frame it was marked on, null where none may be. */
async function markWhilePlaying(page: Page, waitMs: number): Promise<number | null> {
  await page.keyboard.press('Space');
  await page.waitForTimeout(waitMs);
  for (const key of EVENT_KEYS) {
    const kept = page.waitForResponse((answer) => answer.url().endsWith('/call/marks.edit'), {
      timeout: 1500,
    });
    await page.keyboard.press(key);
    if (!(await kept.then(() => true).catch(() => false))) continue;
    await settle(page);
    const text = await page.getByRole('group', { name: 'The chosen mark' }).locator('p').innerText();
    return Number(/frame (\d+)/.exec(text)![1]);
  }
  return null;
}

async function measure(moves: number): Promise<boolean> {
  if (missingBrowser !== null) {
    console.log(`Not measured: ${missingBrowser}.`);
    return true;
  }
  const fault = await ensureBuilt(ROOT, () => {});
  if (fault !== null) throw new Error(fault);
  const place = makeWorkplace();
  const program = await startProgram(place, '--sample');
  const browser = await launchBrowser();
  const busy = Array.from({ length: availableParallelism() }, () => spawn(process.execPath, ['-e', BUSY]));
  let wrong = 0;
  try {
    const context = await browser.newContext({ viewport: { width: 1280, height: 800 } });
    context.setDefaultTimeout(120_000);
    const page = await context.newPage();
    await page.goto(program.link);
    const each = Math.ceil(moves / (FILMS.length * WAYS.length));
    for (const way of WAYS) {
      const window = await context.newPage();
      await takeWay(window, way);
      await window.goto(`${program.origin}/#/day/1`);
      for (const [index, film] of FILMS.entries()) {
        await showFilm(window, film);
        const random = seeded(1 + index);
        const acts = Object.entries(filmMoves(window, random));
        const tally = new Map<string, number>();
        for (let move = 0; move < each;) {
          const [name, act] = acts[Math.floor(random() * acts.length)]!;
          await act();
          await settle(window);
          const shown = await look(window);
          if (shown.frame === null) continue;
          if (shown.way !== way) throw new Error(`${film.what} was ${shown.way}, not ${way}.`);
          move++;
          tally.set(name, (tally.get(name) ?? 0) + 1);
          const says = disagreement(shown, film);
          if (says !== null) {
            wrong++;
            console.log(`  ${film.what}, ${way}, ${name}: ${says}`);
          }
        }
        console.log(`  ${film.what}, ${way}: ${[...tally].map(([name, n]) => `${n} × ${name}`).join(', ')}`);
      }
      const marked = await marks(window, way, Math.ceil(each / 2));
      wrong += marked;
      await window.close();
    }
    console.log(`Picture and number differed ${wrong} times.`);
    return wrong === 0;
  } finally {
    for (const child of busy) child.kill();
    await browser.close();
    await program.end();
    place.remove();
  }
}

/** Marks made while the film plays, on the sample's unmarked trial: each on the frame that is then in the picture. */
async function marks(page: Page, way: string, count: number): Promise<number> {
  await showFilm(page, { what: '', trial: 'P06-2', camera: 'A', timeS: (n) => n / 50 });
  await page.evaluate(() => (document.activeElement as HTMLElement | null)?.blur());
  const random = seeded(7);
  await page.keyboard.press('q');
  let [made, wrong] = [0, 0];
  for (let tries = 0; made < count && tries < 4 * count; tries++) {
    await page.keyboard.press('f');
    const frame = await markWhilePlaying(page, 50 + 150 * random());
    if (frame === null) continue;
    made++;
    const { inPicture } = await look(page);
    if (inPicture !== frame) {
      wrong++;
      console.log(`  a mark said to be on frame ${frame}, the picture is ${inPicture}`);
    }
    await Promise.all([
      page.waitForResponse((answer) => answer.url().endsWith('/call/marks.edit')),
      page.keyboard.press('Delete'),
    ]);
  }
  console.log(`  ${made} marks while playing, ${way}`);
  await page.keyboard.press('q');
  return wrong;
}

process.exitCode = (await measure(Number(process.argv[2] ?? WHOLE))) ? 0 : 1;
