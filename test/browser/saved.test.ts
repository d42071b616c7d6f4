/** Nothing that was on the screen as saved is lost, and two windows do not decide over each other. */
import type { Page } from 'playwright-core';
import { expect, it } from 'vitest';
import { journey } from './journey.ts';

const TRIAL = 'P06-1';
const REASON = 'A sensor came loose';

const row = (page: Page) => page.getByRole('row').filter({ has: page.locator(`#trial-${TRIAL}`) });
const status = (page: Page, says: string) => page.getByRole('status').filter({ hasText: says }).waitFor();

journey('a decision', ['--sample'], (scene) => {
  it('that the screen says is saved survives the program being killed', async () => {
    await row(scene.page)
      .getByRole('button', { name: `Exclude ${TRIAL}` })
      .click();
    await scene.page.getByRole('button', { name: REASON }).click();
    await scene.page
      .getByRole('dialog')
      .getByRole('button', { name: `Exclude ${TRIAL}` })
      .click();
    await status(scene.page, `${TRIAL} excluded: ${REASON}`);
    await scene.program.kill();
    await scene.startAgain();
    // The window that was left tells of calls that nobody answered any more, and of nothing else.
    expect(scene.faults.splice(0).filter((fault) => !fault.includes('net::ERR_'))).toEqual([]);
    await scene.go('#/day/1');
    await row(scene.page).getByText(`Excluded: ${REASON}`).waitFor();
  });

  it('can be undone after that start, and redone', async () => {
    const { page } = scene;
    await page.getByRole('button', { name: 'Undo' }).click();
    await status(page, 'Taken back');
    await row(page).getByText('To decide').waitFor();
    await page.getByRole('button', { name: 'Redo' }).click();
    await row(page).getByText(`Excluded: ${REASON}`).waitFor();
    await page.getByRole('button', { name: 'Undo' }).click();
    await row(page).getByText('To decide').waitFor();
  });

  it('is refused in a window that has not seen the one before', async () => {
    const first = scene.page;
    const second = await scene.anotherWindow('#/day/1');
    await row(second).getByText('To decide').waitFor();
    await row(first)
      .getByRole('button', { name: `Accept ${TRIAL}` })
      .click();
    await status(first, `${TRIAL} accepted`);

    await row(second)
      .getByRole('button', { name: `Exclude ${TRIAL}` })
      .click();
    const dialog = second.getByRole('dialog');
    await dialog.getByRole('textbox', { name: 'Reason' }).fill('seen too late');
    await dialog.getByRole('button', { name: `Exclude ${TRIAL}` }).click();
    await dialog.getByRole('alert').filter({ hasText: 'Another window has decided on trial' }).waitFor();

    await second.reload();
    await row(second).getByText('Accepted').waitFor();
  });

  it('says that the program has stopped where it cannot be saved', async () => {
    const { page } = scene;
    await scene.program.kill();
    await row(page)
      .getByRole('button', { name: `Take back ${TRIAL}` })
      .click();
    await row(page).getByRole('alert').filter({ hasText: 'The program has stopped' }).waitFor();
    await row(page).getByText('Accepted').waitFor();
    // The window's console tells of the call that nobody answered.
    scene.faults.splice(0);
  });
});
