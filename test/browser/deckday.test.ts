/**
 * A whole testing day in a real browser: a protocol is built, the day prepared, six swimmers run while a script drops
 * files into the watched folder, among them everything that goes wrong with files; one trial is swum again, one swimmer
 * withdraws, the program is killed in the middle; the day is closed. The dataset is then what the command line makes of
 * the exported folder, and of a folder written by hand from the same files (the sample day's; invented).
 */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { lanebench } from '../main/cli/run.ts';
import { dryRunTrace, Recorder } from './deckfiles.ts';
import { chooseFolder, DeckJourney, fileOf, hasTrace, runOf } from './deckjourney.ts';
import { LEAVING, recordedAs, STAYING, SWIMMERS, writeByHand, type Answered } from './decksample.ts';
import { journey } from './journey.ts';

const DAY = 'quay-evening';
const CUT = 100_000;
const AGAIN = 'touched the lane rope';
const INITIALS = 'KL';
/** The trial that is being swum when the power fails: the last of the first round. */
const KILLED_AT = 5;
const TABLES = ['trials.csv', 'strokes.csv', 'participants.csv', 'calibrations.csv'] as const;

journey('a testing day on deck', ['--sample'], (scene) => {
  let recorder: Recorder;
  let deck: DeckJourney;
  /** In the order of swimming. */
  const swum: string[] = [];
  const answers = new Map<string, Answered>();
  /** Files that are still being written. */
  const writing: Promise<void>[] = [];

  const part = (title: string) => scene.page.locator(`section[aria-labelledby="${title}"]`);
  const button = (name: string | RegExp) => scene.page.getByRole('button', { name });
  const status = (says: string | RegExp) => scene.page.getByRole('status').filter({ hasText: says }).first();
  const plain = (text: string | null) => (text ?? '').replaceAll('\u00a0', ' ').replaceAll(/\s+/g, ' ');

  it('begins with a protocol, its section moved by keys, dragged and typed', async () => {
    const { page } = scene;
    await page.getByRole('link', { name: 'Protocols' }).click();
    await button(/^Begin with this.*20 m sprint to the wall/).click();
    await page.getByLabel('Code of the protocol').fill('quay-sprint');
    await button('Begin this protocol').click();
    await page.getByRole('heading', { name: 'The pool, drawn to scale' }).waitFor();

    const slider = (name: string) => page.getByRole('slider', { name });
    const says = async (name: string) => plain(await slider(name).getAttribute('aria-valuetext'));
    await slider('Beginning of the measured section').focus();
    for (const key of ['Shift+ArrowLeft', 'ArrowLeft', 'ArrowLeft']) await page.keyboard.press(key);
    expect(await says('Beginning of the measured section')).toBe(
      '11.2 m to the finishing wall, 8.8 m from the start',
    );
    const band = await slider('Whole measured section').boundingBox();
    const at = { x: band!.x + band!.width / 2, y: band!.y + 20 };
    await page.mouse.move(at.x, at.y);
    await page.mouse.down();
    // 11.2 m are as wide as the band: 2 m towards the start.
    await page.mouse.move(at.x - (2 * band!.width) / 11.2, at.y, { steps: 6 });
    await page.mouse.up();
    expect(await says('Whole measured section')).toBe(
      '11.2 m long, from 13.2 m to 2.0 m before the finishing wall',
    );
    await page.getByLabel('Begins before the wall at').fill('10');
    await page.getByLabel('Ends before the wall at').fill('0');
    expect(await says('Whole measured section')).toBe(
      '10.0 m long, from 10.0 m to 0.0 m before the finishing wall',
    );
    await page.getByText('reach', { exact: false }).first().waitFor();

    await page.getByLabel('Name of the protocol').fill('Quay sprint');
    await page.getByLabel('Attempts per swimmer').fill('2');
    await page.getByLabel('Least rest between attempts').fill('1');
    await page.getByRole('radio', { name: 'Random' }).check();
    await page.getByLabel('Sampling rate, hand sensors').fill('500');
    await page.getByLabel('Frame rate of A').fill('50');
    await button('Add a camera').click();
    await page.getByLabel('Frame rate of B').fill('59.94');
    await page.getByLabel('Column of the left hand').fill('L');
    await page.getByLabel('Column of the right hand').fill('R');
    await page.getByLabel('Name 2').fill('{trial}-{camera}');
    await button('Keep as version 1').click();
    await page.getByText('Version 1, as it was kept.').waitFor();
  });

  it('becomes a day with its roster, consents, sensors, checklist, order and watched folder', async () => {
    const { page } = scene;
    await page.getByRole('link', { name: 'Start a testing day with this version' }).first().click();
    await page.getByLabel('Code of the day').fill(DAY);
    await page.getByLabel('Venue').fill('Quay Baths (invented)');
    await page.getByLabel('Water temperature, °C').fill('27');
    await page.getByLabel('Latitude, °').fill('54.3');
    await page.getByLabel('Altitude, m').fill('12');
    await button('Begin this testing day').click();
    await page.waitForURL(/#\/day\/\d+\/prepare$/);
    deck = new DeckJourney(scene, Number(/day\/(\d+)/.exec(page.url())![1]));

    await button('Take from a table…').click();
    await page.getByLabel('or paste the table').fill(pastedRoster());
    await button('Read this table').click();
    await page.getByLabel('Code (needed)').selectOption('Cap');
    const take = button('Take 6 swimmers; 1 row left out');
    await take.waitFor();
    const leftOut = page.getByRole('row').filter({ hasText: 'Left out.' });
    expect(plain(await leftOut.innerText())).toMatch(/^8 .*green cap/);
    await take.click();
    await page.getByRole('dialog').waitFor({ state: 'detached' });

    await page.getByLabel('Measuring, P03').selectOption('assent_and_guardian');
    for (const { participant } of SWIMMERS) {
      await page.getByLabel(`Filming, ${participant}`).selectOption('given');
      await page
        .getByLabel(`Showing film, ${participant}`)
        .selectOption(participant === 'P04' ? 'withheld' : 'given');
    }
    await deck.until('consents', ({ plan }) =>
      plan.swimmers.every(
        ({ consents }) => consents.filming === 'given' && consents.sharing !== 'not_asked',
      ),
    );
    await button('Put on S-01, left hand').click();
    await button('On; take off S-01, left hand').waitFor();
    await button('Put on S-02, right hand').click();
    await button('On; take off S-02, right hand').waitFor();
    await page.getByLabel('Initials of who ticks').fill(INITIALS);
    const checks = part('prepare-checklist').getByRole('checkbox');
    for (let line = 0; line < (await checks.count()); line++) {
      await checks.nth(line).check();
      await part('prepare-checklist').getByText(INITIALS, { exact: true }).nth(line).waitFor();
    }
    await page.getByLabel('Seed').fill(DAY);
    await button('Make the order').click();
    await page.getByRole('list', { name: 'Order of the trials' }).waitFor();

    recorder = new Recorder(join(scene.place.person, 'incoming'));
    await button('Choose the folder…').click();
    await chooseFolder(scene, 'incoming', 'Watch this folder');
    await part('prepare-watch').getByText('Watching', { exact: true }).waitFor();
  });

  it('is not begun before the dry run is confirmed', async () => {
    const { page } = scene;
    await page.getByRole('link', { name: 'Go on deck' }).click();
    await button('Go to the dry run').waitFor();
    recorder.dropText('dry-run.csv', dryRunTrace('L', 'R'));
    await page.getByText('The right hand is on the right channel.').waitFor();
    await part('deck-dry-run').getByLabel('Initials').fill(INITIALS);
    await button('Confirm the dry run').click();
    await page.getByText(`Confirmed by ${INITIALS}`).waitFor();
    expect(await deck.now()).toMatch(/^P0\d-1$/);
  });

  /** Two swims and what arrives of them; the power fails while the sixth swimmer is in the water. */
  it('runs the first swimmers while their files come in', async () => {
    while (swum.length < KILLED_AT) await swimAndAnswerBefore();
  });

  it('goes on after a kill where it was, with what came meanwhile', async () => {
    const { page } = scene;
    const trial = (await deck.now())!;
    await deck.begin(trial);
    await status(`${trial} has begun.`).waitFor();
    await Promise.all(writing);
    const before = await deck.until('quiet', ({ watch }) => watch.arriving.every(({ name }) => /withheld/.test(name)));
    recorder.drop(recordedAs(trial).film, `${trial}.${ending(trial)}`);
    await page.waitForTimeout(300);
    await scene.program.kill();
    recorder.drop(`traces/${trial}.csv`, `${trial}.csv`);
    recorder.drop(recordedAs('P03-1').film, 'P03-1.mp4');
    await scene.startAgain();
    // The window that was left tells of calls that nobody answered any more, and of nothing else.
    expect(scene.faults.splice(0).filter((fault) => !fault.includes('net::ERR_'))).toEqual([]);
    await deck.go('deck');
    const after = await deck.look();
    expect([after.plan, after.board]).toEqual([before.plan, before.board]);
    expect(after.files.slice(0, before.files.length)).toEqual(before.files);
    await part('deck-now').getByText('In the water', { exact: true }).waitFor();
    await deck.end(trial);
    await part('arrivals-title').getByText('Watching incoming.').waitFor();
    const arrived = await deck.until(
      'what was dropped while it was dead',
      (view) => hasTrace(view, trial) && fileOf(view, 'P03-1.mp4')?.state === 'placed',
    );
    expect(fileOf(arrived, 'P03-1.mp4')!.place).toEqual({ trial: 'P03-1', as: 'film', camera: 'A' });
    swum.push(trial);
  });

  it('runs to the end, with a repeat of the trial that is to be swum again', async () => {
    while ((await deck.now()) !== null) await swimAndAnswerBefore();
    await answerLast();
    // The answer to the last trial may ask for another.
    while ((await deck.now()) !== null) await swimAndAnswerBefore();
    await answerLast();
    await Promise.all(writing);
    const view = await deck.look();
    const planned = STAYING.flatMap((code) => [`${code}-1`, `${code}-2`]);
    expect(view.board.runs.map(({ trial }) => trial).toSorted()).toEqual([...planned, 'P01-3'].toSorted());
    expect(runOf(view, 'P01-3')).toMatchObject({ repeatOf: 'P01-2', state: 'swum' });
    expect(runOf(view, 'P04-2')!.state).toBe('skipped');
  });

  function pastedRoster(): string {
    const lines = SWIMMERS.map((row) =>
      [
        ...[row['participant'], row['sex'], row['birth_year'], row['height_cm'], row['mass_kg']],
        ...[row['left_hand_area_cm2'], row['right_hand_area_cm2'], row['hand_area_u_cm2']],
        row['participant'] === 'P03' ? '' : row['consent'],
      ].join(';'),
    );
    const heads = 'Cap;Sex;Born;Height;Body mass;Left hand area;Right hand area;u of area;Consent to measuring';
    return [heads, ...lines, 'green cap;male;2003;180;80;150;150;2;given', ''].join('\n');
  }
});
