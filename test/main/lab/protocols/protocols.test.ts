/** Protocols of the lab through the contract: drafts, versions, files in and out, days that keep theirs. */
import { describe, expect, it } from 'vitest';
import { PROTOCOL, SETUP } from '../../../core/deck/build.ts';
import { benchLab } from '../benchlab.ts';

async function textOf(lab: Awaited<ReturnType<typeof benchLab>>, path: string): Promise<string> {
  const resource = await lab.lab.resource(path);
  if (resource?.kind !== 'bytes') throw new Error(`Nothing at ${path}`);
  return new TextDecoder().decode(resource.bytes);
}

describe('a protocol', () => {
  it('grows as a draft, is kept as a version, and tells what the next one changes', async () => {
    const lab = await benchLab();
    await lab.ask('protocols.draft', { protocol: 'sprint', draft: PROTOCOL });
    expect(await lab.ask('protocols.list', {})).toMatchObject([
      { protocol: 'sprint', name: PROTOCOL.name, version: null, hasDraft: true },
    ]);
    const first = await lab.ask('protocols.keep', { protocol: 'sprint' });
    expect(first.draft).toBeNull();
    expect(first.versions).toMatchObject([{ version: 1, changes: [] }]);

    await lab.ask('protocols.draft', { protocol: 'sprint', draft: PROTOCOL });
    expect((await lab.fault('protocols.keep', { protocol: 'sprint' })).says).toContain('nothing to keep');
    await lab.ask('protocols.draft', {
      protocol: 'sprint',
      draft: { ...PROTOCOL, restMinS: 240, sectionFromWallM: [12, 2] },
    });
    const second = await lab.ask('protocols.keep', { protocol: 'sprint' });
    expect(second.versions.map(({ version }) => version)).toEqual([2, 1]);
    expect(second.versions[0]!.changes).toHaveLength(2);
  });

  it('is gone where its only draft is discarded, and stays where a version was kept', async () => {
    const lab = await benchLab();
    await lab.ask('protocols.draft', { protocol: 'a', draft: PROTOCOL });
    await lab.ask('protocols.draft', { protocol: 'a', draft: null });
    expect(await lab.ask('protocols.list', {})).toEqual([]);
    await lab.ask('protocols.draft', { protocol: 'b', draft: PROTOCOL });
    await lab.ask('protocols.keep', { protocol: 'b' });
    await lab.ask('protocols.draft', { protocol: 'b', draft: { ...PROTOCOL, attempts: 3 } });
    expect((await lab.ask('protocols.draft', { protocol: 'b', draft: null })).versions).toHaveLength(1);
  });

  it('goes out as a file and comes in again as it was, and names its schema', async () => {
    const lab = await benchLab();
    await lab.ask('protocols.draft', { protocol: 'sprint', draft: PROTOCOL });
    await lab.ask('protocols.keep', { protocol: 'sprint' });
    const text = await textOf(lab, '/protocol/sprint/1.json');
    const copy = await lab.ask('protocols.import', { protocol: 'copy', text: `\uFEFF${text}` });
    expect(copy.draft).toEqual(PROTOCOL);
    const schema = JSON.parse(await textOf(lab, '/protocol-schema.json')) as {
      properties: Record<string, unknown>;
      required: string[];
    };
    expect(schema.required).toEqual(['format', 'protocol', 'version', 'content']);
    expect(await lab.lab.resource('/protocol/sprint/2.json')).toBeNull();
  });

  it.each([
    ['{', 'not JSON'],
    ['{}', 'format'],
    [
      JSON.stringify({
        format: 'lanebench-protocol/1',
        protocol: 'x',
        version: 1,
        content: { ...PROTOCOL, runM: -3 },
      }),
      'content.runM',
    ],
  ])('that cannot be read says where: %s', async (text, where) => {
    const lab = await benchLab();
    expect((await lab.fault('protocols.import', { protocol: 'x', text })).says).toContain(where);
    expect(await lab.ask('protocols.list', {})).toEqual([]);
  });

  it('stays as a day began with it, whatever comes after', async () => {
    const lab = await benchLab();
    await lab.ask('protocols.draft', { protocol: 'sprint', draft: PROTOCOL });
    expect(
      (await lab.fault('deck.new', { day: 'd1', protocol: 'sprint', version: 1, setup: SETUP })).says,
    ).toContain('no kept version 1');
    await lab.ask('protocols.keep', { protocol: 'sprint' });
    const { day } = await lab.ask('deck.new', { day: 'd1', protocol: 'sprint', version: 1, setup: SETUP });
    await lab.ask('protocols.draft', { protocol: 'sprint', draft: { ...PROTOCOL, attempts: 5 } });
    await lab.ask('protocols.keep', { protocol: 'sprint' });
    expect((await lab.ask('deck.get', { day })).protocol).toMatchObject({
      version: 1,
      content: { attempts: 2 },
    });
    expect((await lab.ask('protocols.list', {}))[0]).toMatchObject({ version: 2, days: ['d1'] });
    expect(
      (await lab.fault('deck.new', { day: 'd1', protocol: 'sprint', version: 2, setup: SETUP })).says,
    ).toContain('d1');
  });
});
