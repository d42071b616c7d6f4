/**
 * A whole testing day in a real browser: a protocol is built, the day prepared, six swimmers run while a script drops
 * files into the watched folder, among them everything that goes wrong with files; one trial is swum again, one swimmer
 * withdraws, the program is killed in the middle; the day is closed. The dataset is then what the command line makes of
 * the exported folder, and of a folder written by hand from the same files (the sample day's; invented).
 */
import { mkdirSync, readdirSync, readFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import Papa from 'papaparse';
import { expect, it } from 'vitest';
import { lanebench } from '../main/cli/run.ts';
import { dryRunTrace, Recorder } from './deckfiles.ts';
import { chooseFolder, type DeckJourney, fileOf, hasTrace, plain, boardTrialOf } from './deckjourney.ts';
import { beginDay, buildProtocol, INITIALS, prepareDay } from './deckprepare.ts';
import { LEAVING, recordedAs, sampleTable, STAYING, writeByHand } from './decksample.ts';
import { AGAIN, CUT, DeckStory } from './deckstory.ts';
import { journey } from './journey.ts';

const DAY = 'quay-evening';
/** Its order has the trial with the kill in the middle of the day. */
const SEED = 'quay-8';
/** The trial that is being swum when the power fails. */
const KILLED_IN = 'P06-1';
const TABLES = ['trials.csv', 'strokes.csv', 'participants.csv', 'calibrations.csv'] as const;

/** What a sensor of the sample day reads above its zero, by its calibration. */
function rawOf(sensor: string, appliedKpa: number): number {
  const at = (applied: number) =>
    Number(
      sampleTable('calibration.csv').find(
        (row) => row['sensor'] === sensor && Number(row['applied']) === applied,
      )!['raw'],
    );
  return at(appliedKpa) - at(0);
}

/** Zeros at both ends of the day, and 5 kPa at its end as the calibration reads it above the zero. */
const READ = [
  { sensor: 'S-01', startRaw: 8200 },
  { sensor: 'S-02', startRaw: 8660 },
].map(({ sensor, startRaw }) => ({
  sensor,
  startRaw,
  endRaw: startRaw + 20,
  appliedKpa: 5,
  raw: startRaw + 20 + rawOf(sensor, 5),
}));

journey('a testing day on deck', ['--sample'], (scene) => {
  let recorder: Recorder;
  let deck: DeckJourney;
  let story: DeckStory;

  const part = (title: string) => scene.page.locator(`section[aria-labelledby="${title}"]`);
  const button = (name: string | RegExp) => scene.page.getByRole('button', { name });

  it('begins with a protocol, its section moved by keys, dragged and typed', () => buildProtocol(scene));

  it('becomes a day with its roster, consents, sensors, checklist, order and watched folder', async () => {
    deck = await beginDay(scene, DAY);
    await prepareDay(scene, deck, SEED);
    recorder = new Recorder(join(scene.place.person, 'incoming'));
    await button('Choose the folder…').click();
    await chooseFolder(scene, 'incoming', 'Watch this folder');
    await part('prepare-watch').getByText('✓ Watching').waitFor();
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
    story = new DeckStory(scene, deck, recorder);
  });

  it('runs the first trials while their files come in', async () => {
    while ((await deck.now()) !== KILLED_IN) await story.next();
    expect(story.swum).toHaveLength(5);
    await story.answerLast();
  });

  it('goes on after a kill where it was, with what came meanwhile', async () => {
    const recorded = recordedAs(KILLED_IN);
    await deck.begin(KILLED_IN);
    await part('deck-now').getByText('In the water', { exact: true }).waitFor();
    const before = await deck.look();
    recorder.dropCut(recorded.film, `${KILLED_IN}.mp4`, CUT);
    await deck.until('the film on its way', ({ watch }) =>
      watch.arriving.some(({ name }) => name === `${KILLED_IN}.mp4`),
    );
    await scene.program.kill();
    recorder.drop(recorded.trace!, `${KILLED_IN}.csv`);
    recorder.drop(recordedAs('P03-1').film, 'P03-1.mp4');
    await scene.startAgain();
    // The window that was left tells of calls that nobody answered any more, and of nothing else.
    expect(scene.faults.splice(0).filter((fault) => !fault.includes('net::ERR_'))).toEqual([]);

    await deck.go('deck');
    await part('deck-now').getByText('In the water', { exact: true }).waitFor();
    const after = await deck.look();
    expect([after.plan, after.board]).toEqual([before.plan, before.board]);
    expect(after.files.slice(0, before.files.length)).toEqual(before.files);
    await part('arrivals-title').getByText('Watching incoming.').waitFor();
    const arrived = await deck.until(
      'what was dropped while it was down',
      (view) =>
        hasTrace(view, KILLED_IN) &&
        fileOf(view, 'P03-1.mp4')?.state === 'placed' &&
        fileOf(view, `${KILLED_IN}.mp4`)?.state === 'unreadable',
    );
    expect(fileOf(arrived, `${KILLED_IN}.mp4`)!.says).toContain('was cut short');
    recorder.drop(recorded.film, `${KILLED_IN}-A.mp4`);
    await deck.end(KILLED_IN);
    story.noteSwum(KILLED_IN);
  });

  it('runs to the end, with the repeat of a trial and without who withdrew', async () => {
    await story.finish();
    const view = await deck.look();
    const planned = STAYING.flatMap((code) => [`${code}-1`, `${code}-2`]);
    expect(view.board.trials.map(({ trial }) => trial).toSorted()).toEqual([...planned, 'P01-3'].toSorted());
    expect(boardTrialOf(view, 'P01-3')).toMatchObject({ repeatOf: 'P01-2', state: 'swum' });
    expect(boardTrialOf(view, 'P04-2')!.state).toBe('skipped');
    expect(view.board.notes.map(({ kind, says }) => [kind, says])).toEqual([
      ['note', 'Breathed late'],
      ['incident', 'A child ran along the lane'],
    ]);
  });

  it('knows every file that came, and none of the swimmer who withdrew', async () => {
    const { page } = scene;
    const view = await deck.until(
      'all films of the trials',
      ({ trials }) => trials.filter(({ films }) => films.length > 0).length === story.swum.length - 1,
    );
    const filmed = view.trials.find(({ trial }) => trial === 'P01-1')!.films;
    expect(filmed.map(({ camera }) => camera).toSorted()).toEqual(['A', 'B']);
    const untraced = view.trials.filter(({ trace }) => trace === null).map(({ trial }) => trial);
    expect(untraced.toSorted()).toEqual(['P03-2', 'P04-2']);
    expect(fileOf(view, 'P02-1 (copy).csv')).toMatchObject({
      state: 'twice',
      says: 'Its content came before, as P02-1.csv.',
    });
    expect(
      view.files.find(({ name, state }) => name === 'P06-2.csv' && state === 'unreadable'),
    ).toBeDefined();
    expect(fileOf(view, 'run_0012.csv')).toMatchObject({ state: 'placed', by: 'person' });
    const { board, trials, files, watch } = view;
    expect(JSON.stringify({ board, trials, files, watch })).not.toContain(LEAVING);
    expect(watch.arriving).toHaveLength(3);
    const withheld = part('arrivals-title').getByRole('listitem').filter({ hasText: 'withheld file' });
    expect(await withheld.count()).toBe(3);
    // Nobody is asked to stop what is not taken.
    expect(await withheld.getByRole('button').count()).toBe(0);
    await deck.go('files');
    await page.getByText('run_0012.csv').first().waitFor();
    // The code stands beside its consents, and nowhere else.
    const shown = plain(await page.locator('main').innerText());
    expect(shown.split(LEAVING)).toHaveLength(2);
    expect(shown).toContain(`${LEAVING} Measuring ✕ withdrawn`);
  });

  it('takes the section times of a table, and one that is typed', async () => {
    const { page } = scene;
    await button('Section times from a table…').click();
    const dialog = page.getByRole('dialog');
    const typed = 'P03-2';
    const rows = story.swum
      .filter((trial) => trial !== typed)
      .map((trial) => {
        const { section } = recordedAs(trial);
        return [
          trial,
          section['section_start_s'],
          section['section_end_s'],
          section['timing_method'],
          section['timing_u_s'],
        ].join(';');
      });
    await dialog
      .locator('textarea')
      .fill(['trial;section start;section end;timing method;uncertainty', ...rows].join('\n'));
    await dialog.getByRole('button', { name: 'Read the table' }).click();
    await dialog.getByText('1 row cannot be used').waitFor();
    await dialog.getByRole('button', { name: `Take the times of ${story.swum.length - 2} trials` }).click();
    await dialog.waitFor({ state: 'detached' });

    const { section } = recordedAs(typed);
    await button(`Put right… trial ${typed}`).click();
    await dialog.getByLabel('Start, s').fill(section['section_start_s']!);
    await dialog.getByLabel('End, s').fill(section['section_end_s']!);
    await dialog.getByRole('radio', { name: 'read from film' }).check();
    await dialog.getByLabel('Standard uncertainty of one time, s').fill(section['timing_u_s']!);
    await dialog.getByRole('button', { name: 'Keep these times' }).click();
    await deck.until(
      'the typed times',
      ({ trials }) => trials.find(({ trial }) => trial === typed)!.section !== null,
    );
    await dialog.getByRole('button', { name: 'Close' }).click();
  });

  it('is marked from force, with a key for each trial', async () => {
    const { page } = scene;
    for (const [index, trial] of traced().entries()) {
      await scene.go(page.url().replace(/^.*(#\/day\/\d+).*$/, `$1/trial/${trial}`));
      await page.getByRole('heading', { name: `Trial ${trial}`, exact: true }).waitFor();
      await page.waitForFunction(() =>
        /Left hand\s+[−\d]/.test(
          document.querySelector<HTMLElement>('dl[aria-label="At the cursor"]')?.innerText ?? '',
        ),
      );
      // Marking stays on from trial to trial.
      if (index === 0) await page.keyboard.press('q');
      await page.getByRole('button', { name: 'Marking is on' }).waitFor();
      // Nothing is confirmed unseen: the first press draws what the second confirms.
      await page.keyboard.press('Shift+G');
      await page.getByText('look at them, then confirm them with the same key.').waitFor();
      await page.keyboard.press('Shift+G');
      await page.getByRole('heading', { name: /^Marks \((1\d|2\d)\)$/ }).waitFor();
    }
  });

  it('is closed with its sensors checked, a backup, a log and the dataset', async () => {
    const { page } = scene;
    await deck.go('close');
    for (const { sensor, startRaw, endRaw, appliedKpa, raw: reads } of READ) {
      const card = page.getByRole('article').filter({ hasText: sensor });
      for (const [when, raw] of [
        ['start', startRaw],
        ['end', endRaw],
      ] as const) {
        await card.getByLabel(`Zero at the ${when}, count`).fill(String(raw));
        await card.getByRole('button', { name: `Confirm the zero at the ${when} of ${sensor}` }).click();
        await card
          .getByRole('button', { name: `✓ Confirmed the zero at the ${when} of ${sensor}` })
          .waitFor();
      }
      await card.getByLabel('Pressure put on, kPa').fill(String(appliedKpa));
      await card.getByLabel('Sensor reads, count').fill(String(reads));
      await card.getByRole('button', { name: 'Add' }).click();
      await card.getByText('✓ Holds').waitFor();
    }
    await part('step-checklist').getByLabel('Your initials').fill(INITIALS);
    const checks = part('step-checklist').getByRole('checkbox');
    for (let line = 0; line < (await checks.count()); line++) {
      await checks.nth(line).click();
      await part('step-checklist').getByText(`${INITIALS}, `).nth(line).waitFor();
    }
    mkdirSync(join(scene.place.person, 'stick'));
    await button('Back up to a place…').click();
    await chooseFolder(scene, 'stick', 'Back up here');
    await part('step-backup')
      .getByText(/files, .* read back and equal\./)
      .first()
      .waitFor();
    await button('Write day folder and dataset…').click();
    await chooseFolder(scene, 'stick', 'Write here');
    await part('step-export')
      .getByRole('status')
      .filter({ hasText: `trials of ${DAY} written` })
      .waitFor();
    expect(plain(await part('step-missing').innerText())).toContain('P02-2 has no answer');
    await part('step-closed').getByRole('button', { name: 'Close the day' }).click();
    await part('step-closed').getByText(`Closed by ${INITIALS}, `).waitFor();

    const opened = page.waitForEvent('popup');
    await page.getByRole('link', { name: 'Read or print the log of the day' }).click();
    const log = await opened;
    const text = await log.locator('body').innerText();
    for (const words of ['P01-3', 'Feels unwell', 'A child ran along the lane', AGAIN, 'A swimmer withdrew'])
      expect(text).toContain(words);
    expect(await log.content()).not.toContain(LEAVING);
    await log.close();
  });

  it('gives the dataset of the command line, for its own folder and for one written by hand', async () => {
    const stick = join(scene.place.person, 'stick', DAY);
    const byHand = join(scene.place.folder, 'by-hand');
    writeByHand(byHand, story.answered(), join(stick, 'day-folder'), READ);
    const read = (folder: string) => TABLES.map((table) => readFileSync(join(folder, table), 'utf8'));
    const written = read(join(stick, 'dataset'));
    expect(written[0]!.split('\n')).toHaveLength(story.swum.length - 1 + 2);
    const strokes = Papa.parse<Readonly<Record<string, string>>>(written[1]!, { header: true }).data;
    const forced = strokes.filter((row) => Number(row['peak_force_n']) > 0).map((row) => row['trial']);
    expect(new Set(forced)).toEqual(new Set(traced()));
    for (const folder of [join(stick, 'day-folder'), byHand]) {
      const out = join(scene.place.folder, `of-${basename(folder)}`);
      const ran = await lanebench(['process', folder, '--out', out]);
      expect(ran.status, ran.stderr).toBe(0);
      expect(read(out)).toEqual(written);
    }
    for (const file of readdirSync(stick, { recursive: true, encoding: 'utf8' })) {
      expect(file).not.toContain(LEAVING);
      if (/\.(csv|json|md|txt|html)$/.test(file))
        expect(readFileSync(join(stick, file), 'utf8'), file).not.toContain(LEAVING);
    }
  });

  /** Trials of those who stayed that have a trace, in the order of swimming. */
  function traced(): readonly string[] {
    return story.swum.filter((trial) => !trial.startsWith(LEAVING) && recordedAs(trial).trace !== null);
  }
});
