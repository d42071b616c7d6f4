/**
 * A testing day without a mouse: begun, prepared with two swimmers typed, one trial from its beginning to its answer,
 * and the answer taken back. After every key the focus is somewhere and can be seen (WCAG 2.2, 2.1.1 and 2.4.7).
 */
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { dryRunTrace, Recorder } from './deckfiles.ts';
import { DeckJourney, hasTrace, boardTrialOf } from './deckjourney.ts';
import { Hands } from './hands.ts';
import { journey } from './journey.ts';

const TRIAL = 'S01-1';

journey('a testing day by keyboard alone', ['--sample'], (scene) => {
  let hands: Hands;
  let deck: DeckJourney;
  let recorder: Recorder;
  const heading = (name: string | RegExp) => scene.page.getByRole('heading', { name, level: 1 }).waitFor();
  const type = (text: string) => scene.page.keyboard.type(text);
  const tabAndPress = async (name: string | RegExp, key = 'Enter', way = 'Tab') => {
    await hands.tabTo(name, way);
    await hands.press(key);
  };
  const write = async (name: string | RegExp, text: string) => {
    await hands.tabTo(name);
    await type(text);
  };

  it('begins with a protocol that is kept', async () => {
    hands = new Hands(scene);
    await heading('harbour-morning');
    await tabAndPress('Protocols');
    await heading('No protocol yet');
    await hands.press('n');
    await scene.page.getByRole('dialog', { name: 'New protocol' }).waitFor();
    await tabAndPress('Begin this protocol');
    await heading('25 m sprint, middle 10 m');
    await hands.tabTo('Keep as version 1');
    await hands.press('Enter');
    await scene.page.getByText('Version 1, as it was kept.').waitFor();
    await hands.look('after the version was kept');
    await tabAndPress('Start a testing day with this version', 'Enter', 'Shift+Tab');
    await heading('New testing day');
    await hands.tabTo('Code of the day');
    await scene.page.keyboard.press('Control+a');
    await type('deck-keys');
    await hands.press('Enter');
    await heading('Prepare deck-keys');
    deck = new DeckJourney(scene, Number(/day\/(\d+)/.exec(scene.page.url())![1]));
    expect(hands.faults).toEqual([]);
  });

  it('is prepared with two swimmers who are typed', async () => {
    const { page } = scene;
    hands = new Hands(scene);
    for (const code of ['S01', 'S02']) {
      await tabAndPress('Add a swimmer…');
      await page.getByRole('dialog', { name: 'Add a swimmer' }).waitFor();
      await write('Code', code);
      await write('Left hand area, cm²', '142');
      await write('Right hand area, cm²', '144');
      for (const consent of ['To be measured', 'To be filmed']) {
        await hands.tabTo(consent);
        await type('Given');
      }
      await tabAndPress('Add this swimmer');
      await page.getByRole('dialog').waitFor({ state: 'detached' });
      await hands.look(`after ${code} was added`);
    }
    await tabAndPress('Put on S-01, left hand');
    await page.getByRole('button', { name: 'On; take off S-01, left hand' }).waitFor();
    await tabAndPress('Put on S-02, right hand');
    await page.getByRole('button', { name: 'On; take off S-02, right hand' }).waitFor();
    await write('Initials of who ticks', 'KL');
    const checks = await page.getByRole('checkbox').count();
    for (let line = 1; line <= checks; line++) {
      await hands.press('Tab');
      await hands.press('Space');
      await page.locator(`li:nth-child(${line}) input[type="checkbox"]:checked`).waitFor();
    }
    await tabAndPress('Make the order');
    await page.getByRole('list', { name: 'Order of the trials' }).waitFor();
    await hands.look('after the order was made');

    recorder = new Recorder(join(scene.place.person, 'incoming'));
    await tabAndPress('Choose the folder…');
    await page.getByRole('dialog').getByRole('listitem').first().waitFor();
    await hands.tabTo(new RegExp(scene.place.person.split('/').at(-1)!));
    await hands.press('Enter');
    await page.getByRole('dialog').getByRole('button', { name: 'incoming', exact: true }).waitFor();
    await tabAndPress('incoming');
    await page.getByRole('dialog').getByRole('button', { name: 'Watch this folder' }).waitFor();
    await tabAndPress('Watch this folder');
    await page.getByRole('dialog').waitFor({ state: 'detached' });
    await hands.look('after the folder was chosen');
    await tabAndPress('Go on deck', 'Enter', 'Shift+Tab');
    await page.getByRole('heading', { name: 'deck-keys: on deck' }).waitFor();
    expect(hands.faults).toEqual([]);
  });

  it('runs a trial from its beginning to its answer, and takes the answer back', async () => {
    const { page } = scene;
    hands = new Hands(scene);
    await hands.press('d');
    await write('What was found', 'Tapped by hand: both alive, right hand on the right channel.');
    await hands.tabTo('Initials');
    await page.keyboard.press('Control+a');
    await type('KL');
    await hands.press('Enter');
    await page.getByText('Confirmed by KL').waitFor();
    await hands.look('after the dry run was confirmed');

    /** A key so soon after another is passed over, as a bounce. */
    const pressUntil = async (key: string, wanted: () => Promise<boolean>) => {
      for (let presses = 0; presses < 50 && !(await wanted()); presses++) {
        await hands.press(key);
        await page.waitForTimeout(100);
      }
      expect(await wanted(), key).toBe(true);
    };
    const swim = async () => boardTrialOf(await deck.look(), TRIAL)!;
    await pressUntil('b', async () => (await swim()).state === 'swimming');
    await pressUntil('e', async () => (await swim()).state === 'swum');
    recorder.dropText(`${TRIAL}.csv`, dryRunTrace('left', 'right'));
    await deck.until('the trace', (view) => hasTrace(view, TRIAL));
    await page
      .getByRole('status')
      .filter({ hasText: new RegExp(`^${TRIAL}: `) })
      .waitFor({ state: 'attached' });
    await pressUntil('k', async () => (await swim()).answer?.what === 'keep');
    await hands.press('Control+z');
    await deck.until('no answer', (view) => boardTrialOf(view, TRIAL)!.answer === null);
    await hands.press('Control+Shift+z');
    await deck.until('the answer', (view) => boardTrialOf(view, TRIAL)!.answer?.what === 'keep');
    expect(hands.faults).toEqual([]);
  });

  it('keeps the focus where a button has done its work', async () => {
    const { page } = scene;
    hands = new Hands(scene);
    const last = async (trial: string) => (await deck.look()).board.trials.at(-1)!.trial === trial;
    await write('Another note', 'The water is calm');
    await tabAndPress('Note it');
    await page.getByRole('list', { name: 'What was noted, the latest first' }).waitFor();
    await hands.look('after the note');
    await tabAndPress(/^S02-1/);
    await hands.tabTo(/Later/);
    for (let moves = 0; moves < 5 && !(await last('S02-1')); moves++) await hands.press('Enter');
    expect(await last('S02-1')).toBe(true);
    await hands.look('after the move to the end');

    await tabAndPress('Close the day', 'Enter', 'Shift+Tab');
    await heading('Close deck-keys');
    await page.getByRole('article').first().waitFor();
    await write(/^Zero at the start/, '8200');
    await tabAndPress(/^Confirm/);
    await page.getByText('✓ Confirmed').first().waitFor();
    await hands.look('after the zero was kept');
    await write(/^Pressure put on/, '5');
    await write(/^Sensor reads/, '26500');
    await tabAndPress(/^Add/);
    await page.getByRole('table', { name: 'Known pressures on S-01' }).waitFor();
    await hands.look('after the pressure was added');
    await tabAndPress('Files', 'Enter', 'Shift+Tab');
    await heading('Files of deck-keys');
    await tabAndPress(/^Put right…\s+trial S01-1$/);
    await hands.tabTo('Left hand');
    await type('none');
    await tabAndPress('Keep these sensors');
    await deck.until('the sensors', (view) => boardTrialOf(view, TRIAL)!.worn!.left === null);
    await hands.look('after the sensors were kept');
    expect(hands.faults).toEqual([]);
  });
});
