import '../browser.ts';
import { cleanup, configure, fireEvent, render, screen, waitFor, within } from '@testing-library/svelte';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import App from '../../../renderer/shell/App.svelte';
import { axeFaults } from '../axe.ts';
import { goTo } from '../browser.ts';
import { CONTENT, fakeProtocols, version } from './fixture.ts';

// axe takes its time on a busy machine.
// The builder is a long form: asking of each of its elements whether it is hidden takes seconds.
configure({ defaultHidden: true });
// jsdom measures nothing and draws nothing.
vi.mock('../../../renderer/plot/chart.ts', () => ({
  openChart: () => ({ draw: () => {}, close: () => {} }),
}));
vi.stubGlobal(
  'ResizeObserver',
  class {
    observe() {}
    unobserve() {}
    disconnect() {}
  },
);

beforeEach(async () => {
  localStorage.clear();
  document.documentElement.lang = 'en';
  await goTo('#/protocols');
});
afterEach(cleanup);

const type = (element: HTMLElement, value: string) => fireEvent.input(element, { target: { value } });
const click = (name: string | RegExp) => fireEvent.click(screen.getByRole('button', { name }));
const kept = () => ({ sprint: { versions: [version(1, CONTENT, ['quay-evening'])], draft: null } });

async function openBuilder(lab = fakeProtocols(kept()), protocol = 'sprint') {
  await goTo(`#/protocols/${protocol}`);
  render(App, { client: lab.client });
  await screen.findByRole('heading', { name: CONTENT.name });
  return lab;
}

describe('the list', () => {
  it('says what belongs there when empty, and begins from a starting protocol', async () => {
    const lab = fakeProtocols();
    render(App, { client: lab.client });
    await screen.findByRole('heading', { name: 'No protocol yet' });
    expect(screen.getAllByRole('button', { name: /^Begin with this/ })).toHaveLength(4);
    expect(await axeFaults()).toEqual([]);
    await fireEvent.click(screen.getAllByRole('button', { name: /^Begin with this/ })[0]!);
    const dialog = within(screen.getByRole('dialog', { name: 'New protocol' }));
    await type(dialog.getByLabelText('Code of the protocol'), 'mid pool');
    await fireEvent.click(dialog.getByRole('button', { name: 'Begin this protocol' }));
    expect(dialog.getByText(/no spaces\.$/)).toBeTruthy();
    expect(await axeFaults()).toEqual([]);
    await type(dialog.getByLabelText('Code of the protocol'), 'mid');
    await fireEvent.click(dialog.getByRole('button', { name: 'Begin this protocol' }));
    await waitFor(() => expect(window.location.hash).toBe('#/protocols/mid'));
    expect(lab.kept.get('mid')!.draft!.sectionFromWallM).toEqual([15, 5]);
  });

  it('lists versions, days and drafts, and copies an own protocol under a code nobody has', async () => {
    const lab = fakeProtocols({
      ...kept(),
      other: { versions: [], draft: { ...CONTENT, name: 'Another' } },
    });
    render(App, { client: lab.client });
    const row = (await screen.findByRole('link', { name: CONTENT.name })).closest('tr')!;
    expect(row.textContent).toMatch(/sprint.*1.*2026.*none.*1.day.*quay-evening/s);
    expect(screen.getByRole('link', { name: 'Another' }).closest('tr')!.textContent).toMatch(
      /none kept yet.*being changed/s,
    );
    await click(/^Copy….*sprint/);
    const dialog = within(screen.getByRole('dialog', { name: 'New protocol' }));
    expect(dialog.getByLabelText<HTMLInputElement>('Code of the protocol').value).toBe('sprint-2');
    await fireEvent.click(dialog.getByRole('button', { name: 'Begin this protocol' }));
    await waitFor(() => expect(window.location.hash).toBe('#/protocols/sprint-2'));
    expect(lab.kept.get('sprint-2')!.draft).toEqual(CONTENT);
  });

  it('imports a file, and shows what is wrong with one in sentences', async () => {
    const lab = fakeProtocols();
    render(App, { client: lab.client });
    await screen.findByRole('heading', { name: 'No protocol yet' });
    await click(/^Import/);
    const dialog = within(screen.getByRole('dialog', { name: 'New protocol' }));
    const begin = () => fireEvent.click(dialog.getByRole('button', { name: 'Begin this protocol' }));
    await type(dialog.getByLabelText('Code of the protocol'), 'got');
    await begin();
    expect(dialog.getByText(/Choose a protocol file first/)).toBeTruthy();
    const choose = (text: string) =>
      fireEvent.change(dialog.getByLabelText('File'), { target: { files: [new File([text], 'p.json')] } });
    await choose('name;run');
    await begin();
    expect((await dialog.findByRole('alert')).textContent).toMatch(/not JSON.*Choose a protocol file/s);
    expect(await axeFaults()).toEqual([]);
    await choose(JSON.stringify(CONTENT));
    await begin();
    await waitFor(() => expect(window.location.hash).toBe('#/protocols/got'));
    expect(lab.kept.get('got')!.draft).toEqual(CONTENT);
  });
});

describe('the builder', () => {
  it('moves the section by keys, keeps it by itself, and goes back a step', async () => {
    const { drafts } = await openBuilder();
    const start = screen.getByRole('slider', { name: 'Beginning of the measured section' });
    const band = screen.getByRole('slider', { name: 'Whole measured section' });
    expect(start.getAttribute('aria-valuetext')).toMatch(/^10\.0.m to the finishing wall, 10\.0.m from/);
    await fireEvent.keyDown(start, { key: 'ArrowLeft' });
    await fireEvent.keyDown(start, { key: 'ArrowLeft', shiftKey: true });
    expect(start.getAttribute('aria-valuetext')).toMatch(/^11\.1.m/);
    await fireEvent.focusOut(start);
    await fireEvent.keyDown(band, { key: 'PageDown' });
    expect(band.getAttribute('aria-valuetext')).toMatch(/^11\.1.m long, from 12\.1.m to 1\.0.m/);
    expect(screen.getByLabelText<HTMLInputElement>('Begins before the wall at, m').value).toBe('12.1');
    await waitFor(() => expect(drafts().at(-1)?.sectionFromWallM).toEqual([12.1, 1]));
    await click('Undo');
    expect(start.getAttribute('aria-valuetext')).toMatch(/^11\.1.m/);
    await click('Undo');
    expect(start.getAttribute('aria-valuetext')).toMatch(/^10\.0.m/);
    await waitFor(() => expect(drafts().at(-1)).toBeNull());
  });

  it('drags an end with a pointer as one step', async () => {
    HTMLElement.prototype.setPointerCapture = () => {};
    await openBuilder();
    const start = screen.getByRole('slider', { name: 'Beginning of the measured section' });
    const at = (clientX: number) => ({ pointerId: 1, button: 0, clientX });
    await fireEvent.pointerDown(start, at(100));
    // jsdom gives the drawing no width: 1 px then stands for the whole pool, so that any move reaches the end.
    await fireEvent.pointerMove(start, at(99.9));
    await fireEvent.pointerMove(start, at(99.8));
    await fireEvent.pointerUp(start, at(99.8));
    expect(start.getAttribute('aria-valuetext')).toMatch(/^15\.0.m/);
    await fireEvent.pointerMove(start, at(50));
    expect(start.getAttribute('aria-valuetext')).toMatch(/^15\.0.m/);
    await click('Undo');
    expect(start.getAttribute('aria-valuetext')).toMatch(/^10\.0.m/);
  });

  it('leaves what cannot be read in its field with a sentence, and keeps no version meanwhile', async () => {
    const { drafts, calls } = await openBuilder();
    const rest = screen.getByLabelText<HTMLInputElement>('Least rest between attempts, s');
    const run = screen.getByLabelText<HTMLInputElement>('Run to the finishing wall, m');
    await type(rest, '240');
    await type(run, 'twenty');
    expect(screen.getByText(/“twenty” is not a number/)).toBeTruthy();
    await type(screen.getByLabelText('Attempts per swimmer, attempts'), '1.5');
    expect(screen.getByText('It must be a whole number.')).toBeTruthy();
    expect(await axeFaults()).toEqual([]);
    await click('Keep as version 2');
    expect(screen.getByText(/^Nothing is kept yet: this field holds/)).toBeTruthy();
    expect(document.activeElement).toBe(run);
    expect(calls.some(({ name }) => name === 'protocols.keep')).toBe(false);
    await waitFor(() => expect(drafts().at(-1)).toMatchObject({ restMinS: 240, runM: 20, attempts: 2 }));
  });

  it('lists what it changes, keeps it as a version, and lists that with its file', async () => {
    await openBuilder();
    await type(screen.getByLabelText('Least rest between attempts, s'), '240');
    const side = within(screen.getByRole('complementary'));
    expect(side.getByText('Changes against version 1').closest('section')!.textContent).toMatch(
      /Least rest.*180 s.*240 s/s,
    );
    await click('Keep as version 2');
    await screen.findByRole('heading', { name: 'Version 2' });
    const links = screen.getAllByRole('link', { name: /^Export as JSON/ });
    expect(links.map((link) => link.getAttribute('href'))).toEqual([
      '/protocol/sprint/2.json',
      '/protocol/sprint/1.json',
    ]);
    const start = screen.getAllByRole('link', { name: 'Start a testing day with this version' });
    expect(start[0]!.getAttribute('href')).toBe('#/new-day');
    expect(screen.getByRole('heading', { name: 'Version 1' }).closest('li')!.textContent).toContain(
      'run on quay-evening',
    );
    await click(/^Go on from this.*version, 1/);
    await waitFor(() => expect(screen.getByText(/^Draft of version 3: 1.change/)).toBeTruthy());
    await click('Discard the draft');
    expect(screen.getByText('Version 2, as it was kept.')).toBeTruthy();
    await click('Undo');
    expect(screen.getByText(/^Draft of version 3: 1.change/)).toBeTruthy();
  });

  it('changes lists: adds, moves, takes away, with the focus following', async () => {
    const { drafts } = await openBuilder();
    const add = screen.getByLabelText('Condition to add');
    for (const condition of ['paddles', 'paddles', 'free']) {
      await type(add, condition);
      await fireEvent.keyDown(add, { key: 'Enter' });
    }
    await waitFor(() => expect(drafts().at(-1)?.conditions).toEqual(['paddles', 'free']));
    await click(/Move down.*condition 1/);
    await waitFor(() => expect(drafts().at(-1)?.conditions).toEqual(['free', 'paddles']));
    await waitFor(() => expect(document.activeElement?.textContent).toContain('Move down condition 2'));
    await click(/^Remove.*condition 1/);
    await waitFor(() => expect(drafts().at(-1)?.conditions).toEqual(['paddles']));
    await click(/^Remove.*camera A/);
    await waitFor(() => expect(drafts().at(-1)).toMatchObject({ cameras: [], timing: { camera: null } }));
    await waitFor(() => expect(document.activeElement?.textContent).toBe('Add a camera'));
  });

  it('leaves a rule out and takes it in again as it was', async () => {
    const { drafts } = await openBuilder();
    const rule = screen.getByRole('checkbox', { name: 'Longest gap in the section' });
    await fireEvent.click(rule);
    await waitFor(() => expect(drafts().at(-1)?.accept.maxGapMs).toBeNull());
    expect(rule.closest('.rule')!.textContent).toContain('not applied');
    await fireEvent.click(rule);
    await waitFor(() => expect(drafts().at(-1)).toBeNull());
  });

  it('tells the parallax of a camera that is not square to the mark', async () => {
    await openBuilder();
    await fireEvent.click(screen.getByLabelText('Where the camera stands at the beginning is known'));
    await type(screen.getByLabelText('Across to the swimmer’s line, m'), '6');
    await type(screen.getByLabelText('Across to what shows the mark, m'), '8');
    await type(screen.getByLabelText('Along, beyond the mark, m'), '2');
    // Similar triangles (Euclid VI.2): 2 m × (1 − 6/8) = 0.5 m; at 1.8 m/s, 0.278 s.
    const part = screen.getByRole('heading', { name: 'At its beginning' }).parentElement!;
    expect(part.textContent).toMatch(/0\.500.±.0\.043.m, 0\.278.±.0\.024.s .*too late/s);
  });

  it('plans the number of swimmers, in words and as a table', async () => {
    await openBuilder();
    await fireEvent.click(screen.getByLabelText('Plan for a comparison'));
    // R, help page of power.t.test: n = 20 per group, delta = 1, sd = 1 gives power 0.8689528 (from memory).
    await type(screen.getByLabelText('First group, swimmers'), '20');
    await type(screen.getByLabelText('Second group, swimmers'), '20');
    await type(screen.getByLabelText('Expected difference'), '1');
    await type(screen.getByLabelText('SD within a group'), '1');
    expect(screen.getByText(/^With 20.swimmers per group the power is 0\.87/)).toBeTruthy();
    expect(screen.getByText(/^Power 0\.9 takes 23.swimmers per group/)).toBeTruthy();
    expect(screen.getByRole('table', { hidden: true, name: 'Power by number of swimmers' })).toBeTruthy();
    expect(await axeFaults()).toEqual([]);
  });

  it('says so where there is no such protocol', async () => {
    await goTo('#/protocols/none');
    render(App, { client: fakeProtocols().client });
    expect((await screen.findByRole('alert')).textContent).toContain('There is no protocol none.');
    expect(screen.getByRole('link', { name: 'Go to the protocols' })).toBeTruthy();
  });
});
