/** The screen as a person meets it, with a lab that answers from memory and no canvas. */
import { asShown } from '../../core/shown.ts';
import { cleanup, fireEvent, render, screen, within } from '@testing-library/svelte';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { SAME_CLOCK } from '../../../core/clock/clock.ts';
import type { LabClient } from '../../../core/contract/contract.ts';
import type { TrialView } from '../../../core/contract/views.ts';
import TrialScreen from '../../../renderer/review/TrialScreen.svelte';
import { fakeFilms } from './fakevideo.ts';
import type { Stroke } from '../../../core/stroke/stroke.ts';
import { FILM, STROKES, trialView } from './fixture.ts';

const drawn = vi.hoisted(() => ({ times: 0 }));
vi.mock('../../../renderer/review/forcechart.ts', () => ({
  openForceChart: () => ({ draw: () => (drawn.times += 1), close: () => undefined }),
}));

beforeEach(() => {
  // The part that is shown stays from trial to trial.
  localStorage.clear();
  vi.stubGlobal(
    'ResizeObserver',
    class {
      observe() {}
      unobserve() {}
      disconnect() {}
    },
  );
  vi.stubGlobal('fetch', () =>
    Promise.resolve({
      ok: true,
      arrayBuffer: () => Promise.resolve(new Float64Array(5001).fill(12.5).buffer),
    }),
  );
  fakeFilms();
});
afterEach(() => {
  cleanup();
  vi.unstubAllGlobals();
});

/** A lab with one trial; decisions change it. */
function lab(view: TrialView): { client: LabClient; calls: [string, unknown][] } {
  const calls: [string, unknown][] = [];
  let now = view;
  const client = ((name: string, input: { status?: TrialView['status']; reason?: string }) => {
    calls.push([name, input]);
    if (name === 'trials.decide')
      now = { ...now, status: input.status!, exclusionReason: input.reason ? asShown(input.reason) : null };
    return Promise.resolve({ ok: true, value: now });
  }) as unknown as LabClient;
  return { client, calls };
}

async function show(view: TrialView, navigate: (hash: string) => void = () => undefined) {
  const { client, calls } = lab(view);
  render(TrialScreen, { client, day: 1, trial: view.trial, navigate });
  await screen.findByRole('heading', { name: `Trial ${view.trial}` });
  return calls;
}

const atCursor = (name: string) =>
  within(screen.getByLabelText('At the cursor')).getByText(name).nextElementSibling!.textContent!.trim();

describe('the trial screen', () => {
  it('tells which trial it is, its verdict and its numbers with units', async () => {
    await show(trialView());
    expect(screen.getByText('Swimmer S01, attempt 1, sprint')).toBeTruthy();
    expect(screen.getByText('Good')).toBeTruthy();
    // Under the title, whatever part is shown below: the number over its standard uncertainty.
    const under = screen.getByLabelText(/^Numbers of the trial/);
    expect(within(under).getByText('Velocity').nextElementSibling!.textContent).toBe(
      '1.8182\u00a0m/s ±\u00a00.0059',
    );
    // An index from force and one from film are not the same number: what it was read from stands beside it.
    const index = within(under).getByText('Coordination, from force').nextElementSibling!;
    expect(index.textContent).toContain('−5.0');
    expect(within(under).getByText('Strokes marked').nextElementSibling!.textContent).toMatch(/^left \d+/);
    await fireEvent.click(screen.getByRole('tab', { name: 'All numbers' }));
    const numbers = within(screen.getByRole('tabpanel', { name: 'All numbers' }));
    const velocity = numbers.getByText('Velocity').nextElementSibling!;
    // v = L / Δt = 10 m / 5.5 s; u = v·√((0.02/10)² + 2·(0.01/5.5)²), formats.md section 2.
    expect(velocity.textContent).toMatch(
      /^1.8182\u00a0±\u00a00.0059\u00a0m\/s± leaves out: the view of the camera/,
    );
    expect(
      numbers.getByText('Index of coordination', { selector: 'dt' }).nextElementSibling!.textContent,
    ).toContain('−5.0');
    await fireEvent.click(screen.getByRole('tab', { name: 'Files' }));
    expect(screen.getByText('traces/T-1.csv')).toBeTruthy();
    expect(screen.getByText('0123456789ab')).toBeTruthy();
  });

  it('names beside each kind of number what its ± leaves out, in view', async () => {
    await show(trialView());
    // Under the title there is no room for it: there the number itself tells.
    const under = within(screen.getByLabelText(/^Numbers of the trial/));
    for (const name of ['Velocity', 'Coordination, from force', 'High-hand time', 'Mean force, left'])
      expect(under.getByText(name).nextElementSibling!.getAttribute('title')).toMatch(/^± leaves out: /);
    await fireEvent.click(screen.getByRole('tab', { name: 'All numbers' }));
    const numbers = screen.getByRole('heading', { name: 'Trial numbers' }).closest('section')!;
    for (const name of [
      'Velocity',
      'Stroke cycle time',
      'Stroke rate',
      'Index of coordination',
      'Peak, left',
    ])
      expect(within(numbers).getByText(name, { selector: 'dt' }).nextElementSibling!.textContent).toContain(
        '± leaves out: ',
      );
    expect(numbers.querySelector('details')).toBeNull();
  });

  it('says of each stroke what its index was read from where they differ, and of the mean that it mixes them', async () => {
    // The first two strokes of both hands are marked on the trace, the others on film.
    const markedOn = (stroke: Stroke, clock: 'trace' | 'video'): Stroke => ({
      ...stroke,
      marks: Object.fromEntries(
        Object.entries(stroke.marks).map(([event, mark]) => [event, { ...mark, clock }]),
      ),
      propulsionClocks: [clock, clock],
    });
    const strokes = STROKES.map((stroke) => markedOn(stroke, stroke.number < 3 ? 'trace' : 'video'));
    await show(trialView({ strokes }));
    const cell = (name: string) => screen.getByRole('button', { name }).closest('tr')!.textContent;
    expect(cell('Left 2')).toContain('from force');
    expect(cell('Left 5')).toContain('from film');
    await fireEvent.click(screen.getByRole('tab', { name: 'All numbers' }));
    const index = screen.getByText('Index of coordination', { selector: 'dt' }).nextElementSibling!;
    expect(index.textContent).toMatch(
      /propulsion from force and film, of its hand-overs \d+ from force, \d+ from film, 1 from one to the other: a mean of what is not the same quantity/,
    );
  });

  it('moves cursor, frame, numbers and chosen row together', async () => {
    await show(trialView());
    const row = screen.getByRole('button', { name: 'Right 3' }).closest('tr')!;
    await fireEvent.click(screen.getByRole('button', { name: 'Right 3' }));
    expect(row.getAttribute('aria-current')).toBe('true');
    expect(atCursor('Time')).toBe('4.0000\u00a0s');
    expect(atCursor('Film time')).toBe('4.5000\u00a0s');
    expect(atCursor('Frame')).toBe('225 (last 399)');
    expect(atCursor('To the wall')).toBe('5.5\u00a0m');
    const slider = screen.getByRole('slider', { name: 'Cursor on the time axis' });
    expect(slider.getAttribute('aria-valuetext')).toContain('4.0000\u00a0s');
    await fireEvent.keyDown(slider, { key: 'ArrowRight' });
    expect(atCursor('Frame')).toBe('226 (last 399)');
    expect(atCursor('Time')).toBe('4.0200\u00a0s');
    expect(document.querySelectorAll('tr[aria-current]')).toHaveLength(1);
  });

  it('shows the force under the cursor once the samples are there', async () => {
    await show(trialView());
    await vi.waitFor(() => expect(atCursor('Left hand')).toBe('12.5\u00a0N'));
  });

  it('says why there is no trace, and keeps the rest at work', async () => {
    await show(trialView({ trace: false, films: [{ ...FILM, clock: SAME_CLOCK }] }));
    expect(screen.getByText(/no readable trace, so no force is drawn/)).toBeTruthy();
    expect(atCursor('Left hand')).toContain('the trial has no trace');
    expect(screen.getByRole('button', { name: 'Left 1' })).toBeTruthy();
    await fireEvent.click(screen.getByRole('button', { name: 'Left 2' }));
    expect(atCursor('Frame')).toBe('110 (last 399)');
  });

  it('says that there is no film, or why one cannot be shown', async () => {
    await show(trialView({ films: [] }));
    expect(screen.getByText(/This trial has no film/)).toBeTruthy();
    cleanup();
    await show(trialView({ films: [{ ...FILM, fault: 'video/T-1.mp4 was cut short.' }] }));
    expect(screen.getByText('video/T-1.mp4 was cut short.')).toBeTruthy();
  });

  it('says where the cursor lies outside the film', async () => {
    await show(trialView({ films: [{ ...FILM, clock: { offsetS: 5, rate: 1 } }] }));
    expect(screen.getByText('The cursor lies before the film begins.')).toBeTruthy();
  });

  it('says that nothing is marked', async () => {
    await show(trialView({ strokes: [] }));
    expect(screen.getByText(/No stroke is marked yet/)).toBeTruthy();
    expect(screen.getByText('Stroke rate').nextElementSibling!.textContent).toContain('No stroke is marked.');
    expect(screen.getByText('Strokes marked').nextElementSibling!.textContent).toMatch(/^left 0/);
  });

  it('accepts a trial, and asks for a reason before it excludes one', async () => {
    const calls = await show(trialView());
    await fireEvent.click(screen.getByRole('button', { name: 'Accept' }));
    expect(await screen.findByText('Accepted')).toBeTruthy();
    await fireEvent.click(screen.getByRole('button', { name: 'Exclude…' }));
    await fireEvent.click(screen.getByRole('button', { name: 'Exclude' }));
    expect(screen.getByText('An excluded trial needs a reason.')).toBeTruthy();
    await fireEvent.input(screen.getByLabelText('Reason for excluding'), {
      target: { value: 'touched the lane rope' },
    });
    await fireEvent.click(screen.getByRole('button', { name: 'Exclude' }));
    expect(await screen.findByText(': touched the lane rope', { exact: false })).toBeTruthy();
    expect(calls.filter(([name]) => name === 'trials.decide').map(([, input]) => input)).toEqual([
      { day: 1, trial: 'T-1', seen: 'recorded', status: 'accepted', reason: '' },
      { day: 1, trial: 'T-1', seen: 'accepted', status: 'excluded', reason: 'touched the lane rope' },
    ]);
  });

  it('shows one part at a time, by arrows too, and the next trial shows the same', async () => {
    await show(trialView());
    const tab = (name: string) => screen.getByRole('tab', { name });
    expect(tab('Strokes').getAttribute('aria-selected')).toBe('true');
    tab('Strokes').focus();
    await fireEvent.keyDown(tab('Strokes'), { key: 'End' });
    expect(document.activeElement).toBe(tab('Files'));
    expect(screen.getAllByRole('tabpanel')).toHaveLength(1);
    await fireEvent.keyDown(tab('Files'), { key: 'ArrowRight' });
    await fireEvent.keyDown(tab('Strokes'), { key: 'ArrowLeft' });
    cleanup();
    await show(trialView());
    expect(tab('Files').getAttribute('aria-selected')).toBe('true');
  });

  it('says what a trial that is marked by half lacks, in place of asking for another swim', async () => {
    const view = trialView();
    const few = { verdict: 'swim_again', says: '1 strokes count.', tooFewOf: 'left' } as const;
    const lacks = 'Left stroke 2 lacks its propulsion end.';
    const progress = { ...view.progress, left: { done: 1, expected: 5, missing: [lacks] } };
    const check = { verdict: 'swim_again', findings: [few] } as const;
    await show({ ...view, progress, result: { ...view.result, check } });
    expect(screen.getByText('Marking not finished')).toBeTruthy();
    expect(screen.getByText(lacks)).toBeTruthy();
    expect(screen.queryByText('Swim again')).toBeNull();
    expect(screen.getByText('left 1 of about 5')).toBeTruthy();
    // Acceptance is offered as for any trial that is not to be swum again.
    expect(screen.getByRole('button', { name: 'Accept' }).classList.contains('main')).toBe(true);
  });

  it('leads to the next trial', async () => {
    const navigate = vi.fn();
    await show(trialView(), navigate);
    await fireEvent.click(screen.getByRole('button', { name: /Trial T-2/ }));
    expect(navigate).toHaveBeenCalledWith('#/day/1/trial/T-2');
    expect(screen.getByRole('button', { name: /First trial/ })).toHaveProperty('disabled', true);
  });

  it('shows what the lab answers where there is no such trial', async () => {
    const error = {
      code: 'not_found',
      says: 'There is no trial T-9 in this day.',
      todo: 'Go back to the day.',
    };
    const client = (() => Promise.resolve({ ok: false, error })) as unknown as LabClient;
    render(TrialScreen, { client, day: 1, trial: 'T-9', navigate: () => undefined });
    expect((await screen.findByRole('alert')).textContent).toContain('There is no trial T-9 in this day.');
  });
});
