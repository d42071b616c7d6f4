/**
 * Measures how smoothly the cursor is dragged through a trace of 10 minutes at 1,000 Hz, beside the same hand moving
 * over an empty page in the same browser. It prints; it judges nothing but that both were measured.
 */
import { cpSync, createWriteStream, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { once } from 'node:events';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { ensureBuilt } from '../../main/start/build.ts';
import { launchBrowser, makeWorkplace, missingBrowser, ROOT, SAMPLE, startProgram } from '../browser/app.ts';

const TRIAL = 'P06-2';
const [SECONDS, RATE_HZ] = [600, 1000];
const TABLES = ['day.json', 'roster.csv', 'calibration.csv', 'zeros.csv'];
/** Moves of the hand, one about every 12 ms. */
const MOVES = 250;

/** A day of one trial: the sample day's sensors, and a long trace of invented strokes. */
async function makeLongDay(folder: string): Promise<void> {
  mkdirSync(join(folder, 'traces'), { recursive: true });
  for (const file of TABLES) cpSync(join(SAMPLE, file), join(folder, file));
  const [head, ...rows] = readFileSync(join(SAMPLE, 'trials.csv'), 'utf8').split('\n');
  const row = rows.find((text) => text.startsWith(`${TRIAL},`))!.replace(/video\/[^,]+/, '');
  writeFileSync(join(folder, 'trials.csv'), `${head}\n${row}\n`);
  const trace = createWriteStream(join(folder, 'traces', `${TRIAL}.csv`));
  trace.write('time,L,R\n');
  for (let second = 0; second < SECONDS; second++) {
    let text = '';
    for (let k = second * RATE_HZ; k < (second + 1) * RATE_HZ; k++) {
      const push = (shift: number) =>
        Math.round(
          8000 + 20000 * Math.max(0, Math.sin(k / 160 + shift)) ** 2 + 300 * Math.sin(k * 1.7 + shift),
        );
      text += `${(k / RATE_HZ).toFixed(3)},${push(0)},${push(Math.PI)}\n`;
    }
    if (!trace.write(text)) await once(trace, 'drain');
  }
  trace.end();
  await once(trace, 'finish');
}

function callLab(
  page: Page,
  name: string,
  input: unknown,
): Promise<{ readonly ok: boolean; readonly value: unknown }> {
  return page.evaluate(
    async ([call, given]) => {
      const answer = await fetch(`/call/${call as string}`, {
        method: 'POST',
        headers: { 'content-type': 'application/json' },
        body: JSON.stringify(given),
      });
      return (await answer.json()) as { ok: boolean; value: unknown };
    },
    [name, input] as const,
  );
}

/** Opens the day and waits for it; gives its id. */
async function openDay(page: Page, folder: string): Promise<number> {
  await callLab(page, 'places.allow', { path: folder });
  let job = (await callLab(page, 'days.open', { path: folder })).value as {
    job: number;
    state: string;
    day: number;
  };
  while (job.state === 'running') {
    await page.waitForTimeout(100);
    job = (await callLab(page, 'jobs.get', { job: job.job })).value as typeof job;
  }
  if (job.state !== 'done') throw new Error(`The long day was not opened: ${JSON.stringify(job)}`);
  return job.day;
}

interface Stretch {
  readonly left: number;
  readonly right: number;
  readonly y: number;
}

/** Times between the pictures of a page, ms, while a pressed hand goes to and fro over a stretch of it. */
async function scrub(page: Page, from: Stretch, stretch: Stretch): Promise<readonly number[]> {
  await page.mouse.move(from.left, from.y);
  await page.mouse.down();
  await page.evaluate(() => {
    const times: number[] = [];
    Object.assign(window, { pictureTimes: times });
    const note = (time: number) => {
      times.push(time);
      requestAnimationFrame(note);
    };
    requestAnimationFrame(note);
  });
  for (let move = 0; move < MOVES; move++) {
    const share = (1 - Math.cos((6 * Math.PI * move) / MOVES)) / 2;
    await page.mouse.move(stretch.left + share * (stretch.right - stretch.left), stretch.y);
    await page.waitForTimeout(12);
  }
  const times = await page.evaluate(() => (window as unknown as { pictureTimes: number[] }).pictureTimes);
  await page.mouse.up();
  return times.slice(1).map((time, index) => time - times[index]!);
}

function line(name: string, intervals: readonly number[]): string {
  const sorted = intervals.toSorted((a, b) => a - b);
  const at = (share: number) => `${sorted[Math.round(share * (sorted.length - 1))]!.toFixed(1)} ms`;
  const late = sorted.filter((interval) => interval > 34).length;
  return `  ${name.padEnd(24)} ${sorted.length} pictures: median ${at(0.5)}, 95 % ${at(0.95)}, 99 % ${at(0.99)}, longest ${at(1)}; over 34 ms: ${late}`;
}

async function measure(): Promise<boolean> {
  if (missingBrowser !== null) {
    console.log(`Not measured: ${missingBrowser}.`);
    return true;
  }
  const fault = await ensureBuilt(ROOT, () => {});
  if (fault !== null) throw new Error(fault);
  const place = makeWorkplace();
  const program = await startProgram(place);
  const browser = await launchBrowser();
  try {
    const folder = join(place.folder, 'long day');
    await makeLongDay(folder);
    const page = await browser.newPage({ viewport: { width: 1280, height: 800 } });
    await page.goto(program.link);
    const day = await openDay(page, folder);
    const stretch = { left: 40, right: 600, y: 300 };

    const empty = await browser.newPage({ viewport: { width: 1280, height: 800 } });
    const nothing = await scrub(empty, stretch, stretch);
    await empty.close();

    await page.evaluate((hash) => (window.location.hash = hash), `#/day/${day}/trial/${TRIAL}`);
    await page.getByRole('button', { name: 'All', exact: true }).click();
    await page
      .locator('dl[aria-label="At the cursor"]')
      .filter({ hasText: /Left hand\s*−?[\d.]+/ })
      .waitFor();
    const handle = (await page.getByRole('slider').boundingBox())!;
    const stage = (await page.locator('.stage').boundingBox())!;
    const y = handle.y + handle.height / 2;
    const middle = handle.x + handle.width / 2;
    const before = await page.getByRole('slider').getAttribute('aria-valuenow');
    const dragged = { left: stage.x + 80, right: stage.x + stage.width - 60, y };
    const whole = await scrub(page, { ...dragged, left: middle }, dragged);
    if ((await page.getByRole('slider').getAttribute('aria-valuenow')) === before)
      throw new Error('The cursor did not move, so nothing was measured.');
    console.log(`Dragging the cursor through ${SECONDS} s at ${RATE_HZ} Hz, both hands, all in the window:`);
    console.log(line('the trial', whole));
    console.log(line('an empty page', nothing));
    return true;
  } finally {
    await browser.close();
    await program.end();
    place.remove();
  }
}

process.exitCode = (await measure()) ? 0 : 1;
