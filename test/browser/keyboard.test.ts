/**
 * Without a mouse: from the first start to excluding a trial and taking it back. After every key the focus is somewhere
 * (WCAG 2.2, 2.1.1) and can be seen (2.4.7).
 */
import { expect, it } from 'vitest';
import { focusOf, Hands, MOST_STOPS } from './hands.ts';
import { journey } from './journey.ts';

const TRIAL = 'P06-1';

journey('the keyboard alone', [], (scene) => {
  const status = (says: string) => scene.page.getByRole('status').filter({ hasText: says }).waitFor();

  it('opens the sample day from the first start', async () => {
    const hands = new Hands(scene);
    await scene.page.getByRole('button', { name: 'Open the sample day' }).waitFor();
    expect((await hands.press('Tab')).name).toBe('Skip to the screen');
    await hands.press('Enter');
    await hands.tabTo('Open the sample day');
    await hands.press('Enter');
    await scene.page.getByRole('progressbar', { name: /^Opening/ }).waitFor();
    await scene.page.waitForTimeout(100);
    await hands.look('while the day is being opened');
    await scene.page.waitForURL(/#\/day\/1$/);
    await scene.page.getByRole('heading', { name: 'harbour-morning' }).waitFor();
    await hands.look('on the day');
    expect(hands.faults).toEqual([]);
  });

  it('excludes a trial with a reason on the day, and takes it back', async () => {
    const hands = new Hands(scene);
    await hands.tabTo('P01-1');
    for (let trial = 1; trial < 6; trial++) await hands.press('ArrowDown');
    expect((await focusOf(scene)).name).toBe(TRIAL);
    await hands.tabTo(`Exclude ${TRIAL}…`);
    await hands.press('Enter');
    await hands.tabTo('Reason');
    await scene.page.keyboard.type('The swimmer stopped');
    await hands.tabTo(`Exclude ${TRIAL}`);
    await hands.press('Enter');
    await status(`${TRIAL} excluded: The swimmer stopped`);
    await scene.page.getByRole('dialog').waitFor({ state: 'detached' });
    await hands.look('after the decision');
    await hands.press('Control+z');
    await status(`Taken back: Trial ${TRIAL} excluded`);
    await hands.look('after undo');
    await hands.tabTo('Redo', 'Shift+Tab');
    await hands.press('Enter');
    await status('Done again');
    await hands.look('after redo');
    await hands.tabTo('Undo', 'Shift+Tab');
    await hands.press('Enter');
    await status('Taken back');
    await hands.look('after undo by its button');
    expect(hands.faults).toEqual([]);
  });

  it('goes to a trial, moves through it, excludes it and takes it back', async () => {
    const hands = new Hands(scene);
    await hands.tabTo(TRIAL);
    await hands.press('Enter');
    await scene.page.getByRole('heading', { name: `Trial ${TRIAL}`, exact: true }).waitFor();
    await hands.look('on the trial');
    const cursor = () =>
      scene.page
        .locator('[role="slider"]')
        .evaluate((slider) => Number(slider.getAttribute('aria-valuenow')));
    for (const [key, way] of [
      ['ArrowRight', 1],
      ['m', 1],
      ['Shift+S', -1],
      ['ArrowLeft', -1],
    ] as const) {
      const before = await cursor();
      await hands.press(key);
      expect(Math.sign((await cursor()) - before), key).toBe(way);
    }
    await hands.press('Space');
    await scene.page.getByRole('button', { name: 'Pause' }).waitFor();
    await hands.press('Space');
    await scene.page.getByRole('button', { name: 'Play', exact: true }).waitFor();
    await hands.tabTo('Cursor on the time axis');
    const before = await cursor();
    await hands.press('PageUp');
    expect(await cursor()).toBeGreaterThan(before);
    await hands.tabTo('Exclude…', 'Shift+Tab');
    await hands.press('Enter');
    await scene.page.keyboard.type('The lane rope was touched');
    await hands.press('Enter');
    await status(`Trial ${TRIAL} is excluded.`);
    await hands.look('after the decision');
    await hands.press('Control+z');
    await status('Taken back');
    await scene.page.getByText('Recorded, not decided yet').waitFor();
    await hands.look('after undo');
    expect(hands.faults).toEqual([]);
  });

  it('opens and closes every dialog, and the focus comes back', async () => {
    const hands = new Hands(scene);
    for (const [opener, title] of [
      ['Cautions', 'Cautions'],
      ['Keys', 'Keys'],
      [/^At work/, 'Who is at work'],
    ] as const) {
      const from = await hands.tabTo(opener, 'Shift+Tab');
      await hands.press('Enter');
      await scene.page.getByRole('dialog', { name: title }).waitFor();
      for (let stop = 0; stop < 3; stop++) await hands.press('Tab');
      await hands.press('Escape');
      expect((await focusOf(scene)).name).toBe(from.name);
    }
    await hands.press('?');
    await scene.page.getByRole('dialog', { name: 'Keys' }).waitFor();
    await hands.press('Escape');
    expect(hands.faults).toEqual([]);
  });

  it('reaches every control of the trial screen, forward and back', async () => {
    const hands = new Hands(scene);
    await scene.page.evaluate(() => document.getElementById('main')!.focus());
    // Of radio buttons with one name the chosen one alone is a stop; what is not a stop by its own word is none.
    const controls = await scene.page.evaluate(() => {
      const all = [...document.querySelectorAll('*')];
      return [
        ...document.querySelectorAll<HTMLElement>(
          'main button, main select, main input, main summary, main [tabindex="0"]',
        ),
      ]
        .filter(
          (one) =>
            one.checkVisibility() && !one.matches(':disabled, [tabindex="-1"], [type=radio]:not(:checked)'),
        )
        .map(
          (one) =>
            `${all.indexOf(one)} ${one.tagName} ${one.getAttribute('aria-label') ?? one.textContent.trim().slice(0, 40)}`,
        );
    });
    const seen = new Set<string>();
    for (let stop = 0; stop < MOST_STOPS; stop++) {
      await hands.press('Tab');
      const inside = await scene.page.evaluate(() => {
        const element = document.activeElement!;
        if (element.closest('main') === null) return null;
        return [...document.querySelectorAll('*')].indexOf(element);
      });
      if (inside === null) break;
      seen.add(String(inside));
    }
    expect(controls.filter((one) => !seen.has(one.split(' ')[0]!))).toEqual([]);
    expect(hands.faults).toEqual([]);
  });
});
