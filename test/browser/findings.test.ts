/**
 * From trials to what is handed over, once by mouse and once by keyboard alone: exclude two trials with a reason, take
 * it back, plan, answer, freeze, export.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { axeFaults } from './axefaults.ts';
import { Hands } from './hands.ts';
import { journey } from './journey.ts';
import { cramped } from './screen.ts';

journey('findings by mouse', [], (scene) => {
  const status = (says: string | RegExp) => scene.page.getByText(says).first().waitFor();
  const button = (name: string | RegExp, exact = false) => scene.page.getByRole('button', { name, exact });

  it('excludes two trials with a reason as one act, and takes it back', async () => {
    const { page } = scene;
    await button('Open the sample day').click();
    await page.waitForURL(/#\/day\/1$/);
    await page.getByRole('link', { name: 'Findings' }).click();
    await page.getByLabel('Select P02-1').check();
    await page.getByLabel('Select P03-1').check();
    expect(await axeFaults(page, 'trials', [1280])).toEqual([]);
    expect(await cramped(page)).toEqual([]);
    await button('Exclude…').click();
    await page.getByLabel('A sensor came loose').check();
    await button('Exclude 2 trials').click();
    await status('Trials P02-1, P03-1 excluded: A sensor came loose.');
    await button('Undo').click();
    await status(/^Taken back: Trials P02-1, P03-1 excluded/);
    await page.getByLabel('Completeness').check();
    await status('6 of 7 swimmers complete.');
  });

  it('plans before numbers are shown, answers, and says that what is asked later is exploratory', async () => {
    const { page } = scene;
    await page.getByRole('link', { name: 'Compare' }).click();
    await page.getByLabel('Name of a new plan').fill('sprint');
    await button('Begin a plan').click();
    await page.getByLabel('The question in words').fill('Do men and women differ in velocity?');
    await page.getByLabel('What is compared').selectOption('velocity_m_s');
    await page.getByLabel('By', { exact: true }).selectOption('sex');
    await button('State the question').click();
    await page.getByText('✓ planned').waitFor();
    expect(await page.getByText(/Hedges g/).count()).toBe(0);
    await button('Answer the plan').click();
    await page.getByText(/Hedges g/).waitFor();
    expect(await axeFaults(page, 'answers', [1280])).toEqual([]);
    await page.getByLabel('The question in words').fill('And in the index?');
    await page.getByLabel('What is compared').selectOption('idc_pct');
    await button('State the question').click();
    await page.getByText('! exploratory: asked after looking').waitFor();
    await page.getByText(/Changed after results/).waitFor();
    const saved = page.waitForEvent('download');
    await button(/^Save SVG/)
      .first()
      .click();
    expect((await saved).suggestedFilename()).toMatch(/^01-q1\.(?:svg|csv)$/);
    await page.getByRole('link', { name: 'Over time' }).click();
    await page.getByLabel('Swimmer').selectOption('P01');
    await page.getByText(/cannot be known here/).waitFor();
  });
});

journey('findings by keyboard', [], (scene) => {
  const status = (says: string | RegExp) => scene.page.getByText(says).first().waitFor();

  it('excludes two trials and takes it back', async () => {
    const { page } = scene;
    const hands = new Hands(scene);
    await page.getByRole('button', { name: 'Open the sample day' }).waitFor();
    await hands.tabTo('Open the sample day');
    await hands.press('Enter');
    await page.waitForURL(/#\/day\/1$/);
    await hands.tabTo('Findings', 'Shift+Tab');
    await hands.press('Enter');
    await page.getByLabel('Select P01-1').waitFor();
    // The choice of what is shown, then the grid.
    await hands.tabTo('Trials');
    await hands.tabTo('Trials');
    for (const key of ['ArrowDown', 'Space', 'ArrowDown', 'Space', 'x']) await hands.press(key);
    await page.getByRole('dialog', { name: 'Exclude 2 trials' }).waitFor();
    await hands.tabTo('Another, which joins the list');
    for (let k = 0; k < 4; k++) await hands.press('ArrowUp');
    await hands.tabTo(/^Exclude 2.trials$/);
    await hands.press('Enter');
    await status('Trials P02-1, P03-1 excluded: The swimmer stopped.');
    await page.getByRole('dialog').waitFor({ state: 'detached' });
    await hands.press('Control+z');
    await status(/^Taken back: Trials P02-1, P03-1 excluded/);
    expect(hands.faults).toEqual([]);
  });

  it('freezes the day and hands it over', async () => {
    const { page } = scene;
    const hands = new Hands(scene);
    await hands.tabTo('Freeze and hand over', 'Shift+Tab');
    await hands.press('Enter');
    await hands.tabTo('Freeze days…');
    await hands.press('Enter');
    await hands.tabTo('Name of the release');
    await page.keyboard.type('spring');
    await page.getByRole('button', { name: 'Freeze', exact: true }).and(page.locator(':enabled')).waitFor();
    await hands.press('Enter');
    await page.getByRole('rowheader', { name: 'spring' }).waitFor();
    await hands.tabTo('Hand over spring');
    await hands.press('Enter');
    await page.getByText('What will be written, and about whom').waitFor();
    await page.getByText(/About 7.swimmers/).waitFor();
    await hands.tabTo(/person$/);
    await hands.press('Enter');
    await page.getByLabel(/^New folder in/).waitFor();
    await hands.tabTo(/^New folder in/);
    await hands.press('Enter');
    const out = join(scene.place.person, 'spring');
    await page
      .getByText(/spring/)
      .filter({ hasText: /written|Written/ })
      .first()
      .waitFor();
    expect(readdirSync(out)).toContain('trials.csv');
    expect(readFileSync(join(out, 'trials.csv'), 'utf8')).toContain('P02-1');
    expect(hands.faults).toEqual([]);
  });
});
