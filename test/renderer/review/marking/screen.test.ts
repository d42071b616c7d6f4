/** Marking as a person meets it on the trial screen, with a lab that answers from memory and no canvas. */
import { cleanup, fireEvent, render, screen, waitFor, within } from '@testing-library/svelte';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import type { LabClient } from '../../../../core/contract/contract.ts';
import type { LabError } from '../../../../core/base/refusal.ts';
import { done, failed } from '../../../../core/base/refusal.ts';
import type { MarkRow } from '../../../../core/marking/words.ts';
import type { TrialView } from '../../../../core/contract/views.ts';
import { chordOf, keys } from '../../../../renderer/keys.svelte.ts';
import TrialScreen from '../../../../renderer/review/TrialScreen.svelte';
import { axeFaults } from '../../axe.ts';
import '../../browser.ts';
import { fakeFilms } from '../fakevideo.ts';
import { STROKES, trialView } from '../fixture.ts';

vi.mock('../../../../renderer/review/forcechart.ts', () => ({
  openForceChart: () => ({ draw: () => undefined, close: () => undefined }),
}));
vi.mock('../../../../renderer/review/curves/CurvesPanel.svelte', () => ({ default: () => undefined }));

/** Half a sine over every stroke's propulsion, 100 N high, on the fixture's grid. */
function force(hand: 'left' | 'right'): Float64Array {
  const values = new Float64Array(5001);
  for (const { hand: whose, marks } of STROKES) {
    if (whose !== hand) continue;
    const [from, to] = [marks.propulsion_start!.timeS, marks.propulsion_end!.timeS];
    for (let k = Math.ceil(from * 500); k <= to * 500; k++)
      values[k] = 100 * Math.sin((Math.PI * (k / 500 - from)) / (to - from));
  }
  return values;
}

const handle = (event: KeyboardEvent) => keys.handle(event);
beforeEach(() => {
  localStorage.clear();
  keys.single = true;
  document.documentElement.lang = 'en';
  document.title = 'Lanebench';
  window.addEventListener('keydown', handle);
  vi.stubGlobal(
    'ResizeObserver',
    class {
      observe() {}
      unobserve() {}
      disconnect() {}
    },
  );
  vi.stubGlobal('fetch', (url: string) =>
    Promise.resolve({
      ok: true,
      arrayBuffer: () => Promise.resolve(force(url.endsWith('left') ? 'left' : 'right').buffer),
    }),
  );
  fakeFilms();
  Object.assign(Element.prototype, { setPointerCapture: () => undefined });
});
afterEach(() => {
  cleanup();
  window.removeEventListener('keydown', handle);
  vi.unstubAllGlobals();
});

interface Said {
  readonly name: string;
  readonly input: { readonly seen: unknown; readonly now: unknown; readonly says: string };
}

/** A lab with one unmarked trial that keeps what it is told; `refuse` makes it say no. */
async function show(refuse: () => LabError | null = () => null) {
  let view: TrialView = { ...trialView({ strokes: [] }), marking: { ...trialView().marking, section: null } };
  view = { ...view, marking: { ...view.marking, section: { ...view.section!, method: 'video', uS: 0.01 } } };
  const edits: Said[] = [];
  const client = ((name: string, input: Said['input']) => {
    const field = { 'marks.edit': 'marks', 'marks.judge': 'judgements', 'section.edit': 'section' }[name];
    if (field === undefined) return Promise.resolve(done(view));
    edits.push({ name, input });
    const no = refuse();
    if (no !== null) return Promise.resolve(failed(no));
    view = { ...view, marking: { ...view.marking, [field]: input.now } };
    return Promise.resolve(done(view));
  }) as unknown as LabClient;
  render(TrialScreen, { client, day: 1, trial: view.trial, navigate: () => undefined });
  await screen.findByRole('heading', { name: `Trial ${view.trial}` });
  return { edits, marks: () => view.marking.marks };
}

const press = async (key: string, more: KeyboardEventInit = {}) => {
  const event = { key, ...more };
  expect(chordOf(new KeyboardEvent('keydown', event))).not.toBeNull();
  await fireEvent.keyDown(document.body, event);
};
const bar = () => screen.getByRole('region', { name: 'Marking' });
const row = (event: MarkRow['event'], timeS: number, stroke = 1): MarkRow => ({
  hand: 'left',
  stroke,
  event,
  timeS,
  clock: 'video',
  camera: 'A',
  uS: null,
  sharedUS: null,
});

describe('marking on the trial screen', () => {
  it('is off until asked for; then marks the frame at the cursor with one key and one call', async () => {
    const { edits } = await show();
    await press('1');
    expect(edits).toHaveLength(0);
    expect(screen.queryByRole('region', { name: 'Marking' })).toBeNull();
    await press('q');
    expect(within(bar()).getByText(/On film A, frame 100\. Water entry begins stroke 1\./)).toBeTruthy();
    await press('1');
    expect(edits).toEqual([
      {
        name: 'marks.edit',
        input: expect.objectContaining({
          seen: [],
          now: [row('water_entry', 2)],
          says: 'Left 1, water entry, on film A, frame 100',
        }) as Said['input'],
      },
    ]);
    expect(screen.getByRole('heading', { name: 'Marks (1)' })).toBeTruthy();
    expect(await axeFaults()).toEqual([]);
  }, 180_000);

  it('shows where an event may lie before it is placed, and places none where it may not', async () => {
    const { edits } = await show();
    const frames = async (key: 'ArrowRight' | 'ArrowLeft', count: number) => {
      for (let k = 0; k < count; k++) await press(key);
    };
    await press('q');
    await press('4');
    await frames('ArrowRight', 5);
    await press('6');
    await frames('ArrowRight', 5);
    await press('7');
    expect(edits).toHaveLength(3);
    await frames('ArrowLeft', 3);
    const plane = within(bar()).getByRole('button', { name: /Shoulder plane/ });
    await fireEvent.pointerEnter(plane);
    expect(plane.getAttribute('aria-disabled')).toBe('true');
    expect(bar().textContent).toMatch(/shoulder plane of stroke 1 must come before the propulsion end/);
    await press('5');
    expect(edits).toHaveLength(3);
    await frames('ArrowLeft', 4);
    await press('5');
    expect(edits).toHaveLength(4);
  });

  it('chooses, nudges, types and removes a mark, on its own frames', async () => {
    const { marks } = await show();
    await press('q');
    await press('1');
    await press('d');
    expect(marks()).toEqual([row('water_entry', 2.02)]);
    await press('A', { shiftKey: true });
    expect(marks()[0]!.timeS).toBeCloseTo(1.82, 9);
    const field = within(bar()).getByLabelText(/Film time/);
    await fireEvent.input(field, { target: { value: '2,013' } });
    await fireEvent.change(field);
    expect(marks()[0]!.timeS).toBeCloseTo(2.02, 9);
    field.focus();
    await fireEvent.input(field, { target: { value: '2,0x' } });
    await fireEvent.keyDown(field, { key: 'Enter' });
    expect(document.activeElement).toBe(field);
    expect(field.getAttribute('aria-invalid')).toBe('true');
    await fireEvent.keyDown(field, { key: 'Escape' });
    expect(document.activeElement).not.toBe(field);
    expect(field.getAttribute('aria-invalid')).toBe('false');
    expect(marks()[0]!.timeS).toBeCloseTo(2.02, 9);
    await press('Delete');
    expect(marks()).toEqual([]);
    await press('Delete');
    expect(bar().textContent).toContain('No mark is chosen: choose one first');
  });

  it('marks on the trace, and tells film marks from force marks in words', async () => {
    const { marks } = await show();
    await press('q');
    await press('1');
    await press('t');
    await press('4');
    expect(marks()[1]).toEqual({
      ...row('propulsion_start', 1.5),
      clock: 'trace',
      camera: null,
      uS: null,
      sharedUS: null,
    });
    expect(screen.getByRole('table', { name: 'Marks (2)' }).textContent).toContain('film A, frame 100');
    expect(
      screen.getAllByRole('button', { name: 'Left 1, propulsion start, 1.500\u00a0s, force trace' }),
    ).toHaveLength(1);
  });

  it('calls a mark unsure, which is drawn, told and counted, stays as it is moved, and is taken back', async () => {
    const { edits, marks } = await show();
    await press('q');
    await press('1');
    await press('=');
    expect(marks()).toEqual([{ ...row('water_entry', 2), unsure: true }]);
    expect(edits.at(-1)!.input.says).toBe('Left 1, water entry unsure');
    expect(screen.getByRole('table', { name: 'Marks (1, 1 unsure)' }).textContent).toContain('unsure');
    expect(document.querySelector('.stage path.unsure')).not.toBeNull();
    // Counted where the strokes are counted.
    expect(screen.getByText(/^Strokes marked: left 0.*, 1.mark unsure$/)).toBeTruthy();
    await press('d');
    expect(marks()).toEqual([{ ...row('water_entry', 2.02), unsure: true }]);
    await press('=');
    expect(marks()).toEqual([row('water_entry', 2.02)]);
    expect(screen.getByRole('heading', { name: 'Marks (1)' })).toBeTruthy();
  });

  it('takes everything back with the lab’s sentence where it says no', async () => {
    const error: LabError = { code: 'bad_input', says: 'The lab folder is full.', todo: 'Make room.' };
    await show(() => error);
    await press('q');
    await press('1');
    const alert = await screen.findByRole('alert');
    expect(alert.textContent).toContain('was not kept: The lab folder is full. Make room.');
    expect(screen.getByRole('heading', { name: 'Marks (0)' })).toBeTruthy();
  });

  it('proposes propulsion by a rule in sight, and confirms all of the section in one step', async () => {
    const { edits, marks } = await show();
    await press('q');
    expect(screen.getByText(/29 % of the mean force of the propulsive phase/)).toBeTruthy();
    await waitFor(() => expect(screen.getByLabelText('At the cursor').textContent).toMatch(/Left hand\s*\d/));
    await press('p');
    expect(screen.getByText(/^12.proposals open/)).toBeTruthy();
    expect(edits).toHaveLength(0);
    await fireEvent.input(screen.getByLabelText('Least peak, N'), { target: { value: '200' } });
    expect(screen.getAllByText(/No pulse of this hand’s force reaches 200 N/)).toHaveLength(2);
    await fireEvent.input(screen.getByLabelText('Least peak, N'), { target: { value: '20' } });
    await press('X', { shiftKey: true });
    expect(screen.getByText(/^11.proposals open, 1 dismissed/)).toBeTruthy();
    await press('G', { shiftKey: true });
    // What was not in sight is shown first.
    if (edits.length === 0) await press('G', { shiftKey: true });
    expect(edits).toHaveLength(1);
    expect(marks().every(({ clock, timeS }) => clock === 'trace' && timeS >= 1.5 && timeS <= 7)).toBe(true);
  });

  it('judges the stroke at the cursor by keys, and leaves it out with a reason', async () => {
    const { edits } = await show();
    await press('q');
    await press('1');
    await press('9');
    await press('o');
    await press('8');
    await press('8');
    expect(edits.at(-1)!.input.says).toBe('Left 1: entry against the shoulder not judged');
    await press('9');
    edits.splice(3, 3);
    await press('x');
    await fireEvent.click(within(bar()).getByRole('button', { name: 'lane rope' }));
    expect(edits.slice(1).map(({ input }) => input.says)).toEqual([
      'Left 1: hand enters level with the shoulder',
      'Left 1: breath to the right',
      'Left 1 excluded: lane rope',
    ]);
    expect(edits.at(-1)!.input.now).toEqual([
      { hand: 'left', stroke: 1, entryPosition: 'level', breath: 'right', exclusionReason: 'lane rope' },
    ]);
  });

  it('clears a judgement as it was made: by a click on what is chosen', async () => {
    const { edits } = await show();
    await press('q');
    await press('1');
    const chosen = (name: string) => within(bar()).getByRole<HTMLInputElement>('radio', { name });
    await fireEvent.click(chosen('Level'));
    expect(chosen('Level').checked).toBe(true);
    await fireEvent.click(chosen('Level'));
    expect(chosen('Level').checked).toBe(false);
    const breath = within(bar()).getByRole('group', { name: 'Breath' });
    await fireEvent.click(within(breath).getByRole('radio', { name: 'Left' }));
    await fireEvent.click(within(breath).getByRole('radio', { name: 'Left' }));
    expect(edits.slice(1).map(({ input }) => input.says)).toEqual([
      'Left 1: hand enters level with the shoulder',
      'Left 1: entry against the shoulder not judged',
      'Left 1: breath to the left',
      'Left 1: breath not judged',
    ]);
    expect(edits.at(-1)!.input.now).toEqual([]);
  });

  it('sets section times at the cursor, with the uncertainty of a frame, or says why not', async () => {
    const { edits } = await show();
    await press('q');
    await press(')');
    expect(edits).toHaveLength(0);
    expect(screen.getByText(/The section would end \(1\.5000/)).toBeTruthy();
    await press('ArrowRight');
    await press('(');
    // The greater of the frame's 0.02/√12 s and the 0.01 s that stood before.
    expect(edits[0]!.input.now).toEqual({
      ...{ startS: 1.52, endS: 7, method: 'video' },
      // A frame of 50 Hz, and 10 ms of placing by the protocol.
      uS: expect.closeTo(Math.hypot(0.02 / Math.sqrt(12), 0.01), 12) as number,
    });
    expect(screen.getAllByText(/the swimmer’s head/).length).toBeGreaterThan(0);
  });

  it('leaves single keys alone where they are turned off', async () => {
    const { edits } = await show();
    await press('q');
    keys.single = false;
    await press('1');
    expect(edits).toHaveLength(0);
    await fireEvent.click(within(bar()).getByRole('button', { name: /^Water entry/ }));
    expect(edits).toHaveLength(1);
  });

  it('drags a mark along the trace to a frame, and lets it lie where the drag is broken off', async () => {
    const { marks } = await show();
    await press('q');
    await press('1');
    const handleOf = () => screen.getByRole('button', { name: /^Left 1, water entry, .* film A/ });
    const pointer = (type: 'pointerDown' | 'pointerMove' | 'pointerUp' | 'pointerCancel', clientX: number) =>
      fireEvent[type](handleOf(), { button: 0, pointerId: 1, clientX });
    await pointer('pointerDown', 0);
    await pointer('pointerMove', 80);
    await pointer('pointerCancel', 80);
    expect(marks()[0]!.timeS).toBe(2);
    await pointer('pointerDown', 0);
    await pointer('pointerMove', 80);
    await pointer('pointerUp', 80);
    expect(marks()[0]!.timeS).not.toBe(2);
    // On a frame of the film: 50 frames/s.
    expect((marks()[0]!.timeS * 50) % 1).toBeCloseTo(0, 9);
  });
});
