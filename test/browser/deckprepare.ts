/** A protocol is built and a day prepared with it, by the screens. The swimmers are the sample day's; invented. */
import { expect } from 'vitest';
import { DeckJourney, plain } from './deckjourney.ts';
import { sharingOf, SWIMMERS } from './decksample.ts';
import type { Scene } from './journey.ts';

/** Of the person on deck. */
export const INITIALS = 'KL';

/** From a starting protocol: the section moved by keys, dragged and typed; cameras, columns and names of files. */
export async function buildProtocol(scene: Scene): Promise<void> {
  const button = (name: string | RegExp) => scene.page.getByRole('button', { name });
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
  await page.getByText('The section touches the wall, so it holds the finishing reach').waitFor();

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
}

/** Begins a day with the protocol that was kept. */
export async function beginDay(scene: Scene, day: string): Promise<DeckJourney> {
  const { page } = scene;
  await page.getByRole('link', { name: 'Start a testing day with this version' }).first().click();
  await page.getByLabel('Code of the day').fill(day);
  await page.getByLabel('Venue').fill('Quay Baths (invented)');
  await page.getByLabel('Water temperature, °C').fill('27');
  await page.getByLabel('Latitude, °').fill('54.3');
  await page.getByLabel('Altitude, m').fill('12');
  await page.getByRole('button', { name: 'Begin this testing day' }).click();
  await page.waitForURL(/#\/day\/\d+\/prepare$/);
  return new DeckJourney(scene, Number(/day\/(\d+)/.exec(page.url())![1]));
}

/** Swimmers from a pasted table, consents, sensors, the checklist, the order from a seed. */
export async function prepareDay(scene: Scene, deck: DeckJourney, seed: string): Promise<void> {
  const button = (name: string | RegExp) => scene.page.getByRole('button', { name });
  const { page } = scene;
  await button('Take from a table…').click();
  await page.getByLabel('or paste the table').fill(pastedRoster());
  await button('Read this table').click();
  await page.getByLabel('Code (needed)').selectOption('Cap');
  const take = button('Take 6 swimmers; 1 row left out');
  await take.waitFor();
  const leftOut = page.getByRole('row').filter({ hasText: 'Left out.' });
  expect(plain(await leftOut.innerText())).toMatch(/^8 .*“Cap” holds no code/);
  await take.click();
  await page.getByRole('dialog').waitFor({ state: 'detached' });

  await page.getByLabel('Measuring, P03').selectOption('assent_and_guardian');
  for (const { participant } of SWIMMERS) {
    await page.getByLabel(`Filming, ${participant}`).selectOption('given');
    await page.getByLabel(`Showing film, ${participant}`).selectOption(sharingOf(participant!));
  }
  await deck.until('consents', ({ plan }) =>
    plan.swimmers.every(({ consents }) => consents.filming === 'given' && consents.sharing !== 'not_asked'),
  );
  await button('Put on S-01, left hand').click();
  await button('On; take off S-01, left hand').waitFor();
  await button('Put on S-02, right hand').click();
  await button('On; take off S-02, right hand').waitFor();
  await page.getByLabel('Initials of who ticks').fill(INITIALS);
  const checks = deck.part('prepare-checklist').getByRole('checkbox');
  for (let line = 0; line < (await checks.count()); line++) {
    await checks.nth(line).check();
    await deck.part('prepare-checklist').getByText(INITIALS, { exact: true }).nth(line).waitFor();
  }
  await page.getByLabel('Seed').fill(seed);
  await button('Make the order').click();
  await page.getByRole('list', { name: 'Order of the trials' }).waitFor();
}

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
