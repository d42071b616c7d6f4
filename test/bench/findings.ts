/**
 * Measures the cleaning grid over 10,000 trials in a real browser: the processor time that the page's thread spends on a
 * key in the filter and on a scroll, in script, style and layout, whatever else the machine does. It prints; it judges nothing. `node test/bench/findings.ts`
 */
import type { Page } from 'playwright-core';
import type { FindingsDay } from '../../core/contract/cleaning.ts';
import { launchBrowser, makeWorkplace, startProgram } from '../browser/app.ts';

const TRIALS = 10_000;

/** The sample day's trials over and over, under codes of their own, each number moved a little. */
function many(day: FindingsDay): FindingsDay {
  const trials = Array.from({ length: TRIALS }, (_, k) => {
    const from = day.trials[k % day.trials.length]!;
    const code = `T${String(k).padStart(5, '0')}`;
    const cells = from.cells.map((cell) =>
      typeof cell === 'number' && !Number.isInteger(cell) ? cell * (1 + ((k * 7919) % 1000) / 20_000) : cell,
    );
    const participant = `${from.participant}-${k % 100}` as typeof from.participant;
    const named = cells.map((cell) =>
      cell === from.trial ? code : cell === from.participant ? participant : cell,
    );
    return { ...from, trial: code, participant, cells: named };
  });
  return { ...day, trials };
}

/** What the page itself has to do; how the browser draws is its own affair. */
const WORK = ['ScriptDuration', 'RecalcStyleDuration', 'LayoutDuration'];

/** One act on the page as it is driven, and what the page's own thread spent on it, ms: a busy machine adds nothing. */
async function measured(page: Page): Promise<{ keys: number[]; scrolls: number[]; jumps: number[] }> {
  const session = await page.context().newCDPSession(page);
  await session.send('Performance.setTimeDomain', { timeDomain: 'threadTicks' });
  await session.send('Performance.enable');
  const spent = async () => {
    const { metrics } = await session.send('Performance.getMetrics');
    return WORK.reduce(
      (sum, work) => sum + 1000 * (metrics.find(({ name }) => name === work)?.value ?? NaN),
      0,
    );
  };
  const timed = async (act: () => Promise<void>) => {
    const before = await spent();
    await act();
    return (await spent()) - before;
  };
  const drawn = () =>
    page.evaluate(
      () =>
        new Promise<void>((resolve) => requestAnimationFrame(() => requestAnimationFrame(() => resolve()))),
    );
  const empty = await timed(drawn);
  const keys: number[] = [];
  const find = page.getByRole('searchbox');
  for (const text of ['sprint', 'velocity>1.7', 'p03 good', 'idc_pct<-5 p0', 't0012']) {
    await find.fill('');
    for (const letter of text)
      keys.push(
        (await timed(async () => {
          await page.keyboard.type(letter);
          await drawn();
        })) - empty,
      );
  }
  await find.fill('');
  const scroll = async (by: number, times: number) => {
    const list: number[] = [];
    for (let k = 0; k < times; k++)
      list.push(
        (await timed(async () => {
          await page.getByRole('grid').evaluate((grid, px) => void (grid.scrollTop += px), by);
          await drawn();
        })) - empty,
      );
    return list;
  };
  return { keys, scrolls: await scroll(180, 100), jumps: await scroll(9000, 30) };
}

function say(what: string, values: number[], aim: number): void {
  const sorted = values.toSorted((a, b) => a - b);
  const at = (share: number) => sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))]!;
  const ms = (value: number) => `${value.toFixed(1)} ms`;
  console.log(
    `  ${what}: median ${ms(at(0.5))}, p95 ${ms(at(0.95))} (aim ${aim} ms), ${sorted.length} times`,
  );
}

const place = makeWorkplace();
const program = await startProgram(place);
const browser = await launchBrowser();
try {
  const page = await (await browser.newContext({ viewport: { width: 1280, height: 800 } })).newPage();
  await page.goto(program.link);
  await page.getByRole('button', { name: 'Open the sample day' }).click();
  await page.waitForURL(/#\/day\/1$/, { timeout: 120_000 });
  await page.route('**/call/findings.day', async (route) => {
    const answer = (await (await route.fetch()).json()) as { ok: true; value: FindingsDay };
    await route.fulfill({ json: { ...answer, value: many(answer.value) } });
  });
  await page.evaluate(() => (window.location.hash = '#/findings/clean'));
  await page
    .getByText(new RegExp(`${TRIALS}.trials`))
    .first()
    .waitFor({ timeout: 60_000 });
  const { keys, scrolls, jumps } = await measured(page);
  console.log(`The grid over ${TRIALS} trials:`);
  say('a key of the filter', keys, 50);
  say('a scroll of five lines', scrolls, 16);
  say('a jump of 250 lines', jumps, 16);
} finally {
  await browser.close();
  await program.end();
  place.remove();
}
