import { afterEach, beforeEach, expect, it, vi } from 'vitest';
import type { ProtocolContent } from '../../../core/protocol/content.ts';
import { Builder } from '../../../renderer/protocols/builder.svelte.ts';
import { ValueSteps } from '../../../renderer/protocols/valuesteps.svelte.ts';
import { CONTENT, fakeProtocols, version } from './fixture.ts';

beforeEach(() => void vi.useFakeTimers());
afterEach(() => void vi.useRealTimers());

const kept = { sprint: { versions: [version(1, CONTENT)], draft: null } };

async function open(lab = fakeProtocols(kept), protocol = 'sprint') {
  const said: string[] = [];
  const builder = new Builder(lab.client, (message) => said.push(message), protocol);
  await builder.load();
  return { builder, said, ...lab };
}
const name = (content: ProtocolContent | null) => content?.name ?? null;

it('shows the newest version until something is changed, and keeps each change soon by itself', async () => {
  const { builder, drafts } = await open();
  expect(builder.draft).toBeNull();
  expect(builder.content).toEqual(CONTENT);
  expect(builder.keepable).toBe(false);
  expect(builder.set({ runM: 15 }, 'run')).toBeNull();
  expect(builder.set({ runM: 18 }, 'run')).toBeNull();
  expect(builder.saver.waiting).toBe(true);
  await vi.advanceTimersByTimeAsync(300);
  expect(drafts().map((draft) => draft?.runM)).toEqual([18]);
  expect(builder.changes).toEqual([{ what: 'Run', before: '20 m', after: '18 m' }]);
  expect(builder.keepable).toBe(true);
});

it('takes nothing the schema forbids, and says why', async () => {
  const { builder, drafts } = await open();
  expect(builder.set({ attempts: 0 }, 'attempts')).toBe('It must be at least 1.');
  await vi.advanceTimersByTimeAsync(300);
  expect(drafts()).toEqual([]);
  expect(builder.content!.attempts).toBe(CONTENT.attempts);
});

it('goes back step by step, to no draft where none was, and forth again', async () => {
  const { builder, drafts } = await open();
  builder.set({ name: 'A' }, 'name');
  builder.set({ name: 'AB' }, 'name');
  builder.closeStep();
  builder.set({ name: 'ABC' }, 'name');
  builder.set({ runM: 15 }, 'run');
  await builder.steps.undo();
  await builder.steps.undo();
  expect(name(builder.content)).toBe('AB');
  await builder.steps.undo();
  expect(builder.draft).toBeNull();
  expect(builder.steps.canUndo).toBe(false);
  await vi.advanceTimersByTimeAsync(300);
  expect(drafts().at(-1)).toBeNull();
  await builder.steps.redo();
  await builder.steps.redo();
  await builder.steps.redo();
  expect([name(builder.content), builder.content!.runM]).toEqual(['ABC', 15]);
  expect(builder.steps.canRedo).toBe(false);
});

it('has no draft once it says what the version says', async () => {
  const { builder, drafts } = await open();
  builder.set({ runM: 15 }, 'run');
  builder.set({ runM: 20 }, 'run');
  expect(builder.draft).toBeNull();
  await vi.advanceTimersByTimeAsync(300);
  expect(drafts()).toEqual([null]);
});

it('discards a draft, which undo brings back, also that of a protocol without a version', async () => {
  const lab = fakeProtocols({ fresh: { versions: [], draft: CONTENT } });
  const { builder, drafts } = await open(lab, 'fresh');
  builder.discard();
  expect(builder.content).toBeNull();
  await vi.advanceTimersByTimeAsync(300);
  expect(drafts()).toEqual([null]);
  await builder.steps.undo();
  expect(builder.content).toEqual(CONTENT);
  await vi.advanceTimersByTimeAsync(300);
  expect(drafts().at(-1)).toEqual(CONTENT);
});

it('keeps the draft as the next version, after what was still on its way', async () => {
  const { builder, calls, said } = await open();
  builder.set({ restMinS: 240 }, 'rest');
  await builder.keep();
  expect(calls.map(({ name: call }) => call)).toEqual(['protocols.get', 'protocols.draft', 'protocols.keep']);
  expect(builder.versions.map((one) => one.version)).toEqual([2, 1]);
  expect(builder.newest!.changes).toHaveLength(1);
  expect([builder.draft, builder.steps.canUndo]).toEqual([null, false]);
  expect(said.at(-1)).toBe('Version 2 of sprint kept.');
});

it('keeps no version while the latest change is not kept, and says why', async () => {
  const lab = fakeProtocols(kept);
  lab.trouble.draft = { code: 'not_found', says: 'The program has stopped.', todo: 'Start it again.' };
  const { builder, calls } = await open(lab);
  builder.set({ restMinS: 240 }, 'rest');
  await builder.keep();
  expect(builder.saver.problem?.says).toBe('The program has stopped.');
  expect(calls.some(({ name: call }) => call === 'protocols.keep')).toBe(false);
  lab.trouble.draft = null;
  await builder.keep();
  expect(builder.newest!.version).toBe(2);
});

it('lays an older version on the desk as a draft', async () => {
  const other = { ...CONTENT, runM: 15 };
  const lab = fakeProtocols({ sprint: { versions: [version(2, other), version(1, CONTENT)], draft: null } });
  const { builder } = await open(lab);
  builder.lay(builder.versions[1]!.content, 'Version 1 lies on the desk.');
  expect(builder.draft).toEqual(CONTENT);
  expect(builder.changes).toEqual([{ what: 'Run', before: '15 m', after: '20 m' }]);
  expect(builder.nextVersion).toBe(3);
});

it('joins what goes on in one field until it is left', () => {
  const steps = new ValueSteps<string | null>();
  steps.add(null, 'a', 'name');
  steps.add('a', 'ab', 'name');
  steps.close();
  steps.add('ab', 'abc', 'name');
  steps.add('abc', 'x', null);
  steps.add('x', 'y', null);
  expect([steps.back(), steps.back(), steps.back(), steps.back(), steps.back()]).toEqual([
    { to: 'x' },
    { to: 'abc' },
    { to: 'ab' },
    { to: null },
    null,
  ]);
  expect(steps.forth()).toEqual({ to: 'ab' });
  steps.add('ab', 'z', 'name');
  expect([steps.canRedo, steps.back()]).toEqual([false, { to: 'ab' }]);
});
