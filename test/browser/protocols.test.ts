/**
 * Protocols that go out and come in: exported as JSON and imported again as they were, a bad file told in a sentence, a
 * new version saying what it changed; their screens without a fault that axe-core can see.
 */
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { axeFaults } from './axefaults.ts';
import { journey } from './journey.ts';

interface ProtocolFile {
  readonly protocol: string;
  readonly content: Readonly<Record<string, unknown>>;
}

journey('protocols', ['--sample'], (scene) => {
  const button = (name: string | RegExp) => scene.page.getByRole('button', { name });
  const begin = async (name: RegExp, code: string) => {
    await scene.go('#/protocols');
    await button(name).first().click();
    await scene.page.getByLabel('Code of the protocol').fill(code);
  };
  /** Downloads a kept version by its link; gives the path of the file. */
  const exported = async (version: number): Promise<string> => {
    const arriving = scene.page.waitForEvent('download');
    await scene.page
      .getByRole('link', { name: new RegExp(`^Export as JSON ?, version ${version}$`) })
      .click();
    const download = await arriving;
    const path = join(scene.place.folder, download.suggestedFilename());
    await download.saveAs(path);
    return path;
  };
  const read = (path: string) => JSON.parse(readFileSync(path, 'utf8')) as ProtocolFile;
  let first: string;

  it('go out as JSON and come in again as they were', async () => {
    const { page } = scene;
    await begin(/^Begin with this.*Two conditions/, 'paddles');
    await button('Begin this protocol').click();
    await page.getByLabel('Name of the protocol').fill('Paddles or none, “wet” – 10 m');
    await page.getByLabel('Where the camera stands at the end is known').check();
    await button('Keep as version 1').click();
    await page.getByText('Version 1, as it was kept.').waitFor();
    first = await exported(1);

    await begin(/^Import a protocol file/, 'paddles-again');
    await page.getByLabel('File', { exact: true }).setInputFiles(first);
    await button('Begin this protocol').click();
    await page.getByText('Draft of the first version').waitFor();
    await button('Keep as version 1').click();
    await page.getByText('Version 1, as it was kept.').waitFor();
    const [out, again] = [read(first), read(await exported(1))];
    expect(again.content).toEqual(out.content);
    expect(out.content['name']).toBe('Paddles or none, “wet” – 10 m');
  });

  it('that cannot be read are told in a sentence, and nothing is begun', async () => {
    const { page } = scene;
    const whole = read(first);
    mkdirSync(join(scene.place.folder, 'bad'));
    const bad = join(scene.place.folder, 'bad', 'protocol.json');
    await begin(/^Import a protocol file/, 'bad-one');
    for (const [text, says] of [
      ['{"format": "x"', /JSON/],
      [JSON.stringify({ ...whole, content: { ...whole.content, runM: -20 } }), /runM.*must be above 0/],
      [JSON.stringify({ ...whole, content: { ...whole.content, pace: 'fast' } }), /pace/],
    ] as const) {
      writeFileSync(bad, text);
      await page.getByLabel('File', { exact: true }).setInputFiles([]);
      await page.getByLabel('File', { exact: true }).setInputFiles(bad);
      await button('Begin this protocol').click();
      await page.getByRole('dialog').getByRole('alert').filter({ hasText: says }).waitFor();
    }
    await page.getByRole('dialog').getByRole('button', { name: 'Close' }).click();
    await page.reload();
    await page.getByRole('heading', { name: 'Protocols', exact: true }).waitFor();
    expect(await page.getByText('bad-one').count()).toBe(0);
  });

  it('say with each version what it changed', async () => {
    const { page } = scene;
    await scene.go('#/protocols/paddles');
    await page.getByLabel('Least rest between attempts').fill('240');
    await page.getByLabel('Ends before the wall at').fill('4.5');
    await button('Remove line before 3').click();
    await button('Keep as version 2').click();
    await page.getByText('Version 2, as it was kept.').waitFor();
    const versions = page.locator('section[aria-labelledby="versions"]');
    const said = (await versions.getByRole('listitem').first().innerText()).replaceAll(/\s+/g, ' ');
    for (const words of [
      'Least rest 300 s → now 240 s',
      'Measured section 15 m to 5 m from the wall → now 15 m to 4.5 m from the wall',
      'Consent forms seen: measuring, filming and sharing film apart; assent and guardian for minors, taken away',
    ])
      expect(said).toContain(words);
    const second = read(await exported(2));
    expect(second.content).toEqual({
      ...read(first).content,
      restMinS: 240,
      sectionFromWallM: [15, 4.5],
      checklists: second.content['checklists'],
    });
  });

  it('have no fault on their screens', async () => {
    const { page } = scene;
    const found: string[] = [];
    for (const [what, hash, heading] of [
      ['protocols', '#/protocols', 'Protocols'],
      ['builder', '#/protocols/paddles', 'Paddles or none, “wet” – 10 m'],
    ] as const) {
      await scene.go(hash);
      await page.getByRole('heading', { name: heading, exact: true }).waitFor();
      found.push(...(await axeFaults(page, what)));
    }
    expect(found).toEqual([]);
  });
});
