/** The dry run before the first swimmer. */
import { cleanup, fireEvent, screen, waitFor, within } from '@testing-library/svelte';
import { afterEach, describe, expect, it, vi } from 'vitest';
import type { DryRunView } from '../../../../core/contract/deck.ts';
import { meetClocks, type DryRunReport } from '../../../../core/deck/dryrun.ts';
import { done } from '../../../../core/base/refusal.ts';
import { dryName, dryRunSays, isWell, meetingSentence } from '../../../../renderer/deck/dryrun/drywords.ts';
import { boxOf, FlashReader, momentsOf } from '../../../../renderer/deck/dryrun/flashreader.svelte.ts';
import { axeFaults } from '../../axe.ts';
import { plain } from '../../calibrated/stage.ts';
import { press, showDeck } from '../boardstage.ts';
import { asTheLab, deckLab, deckView } from '../fixture.ts';

vi.mock('../../../../renderer/review/forcechart.ts', () => ({
  openForceChart: () => ({ draw: () => undefined, close: () => undefined }),
}));
const film = vi.hoisted(() => ({ values: new Float64Array(0) as Float64Array }));
vi.mock('../../../../renderer/review/clocks/brightness.ts', () => ({
  readBrightness: async ({
    stretch,
    onFrame,
  }: {
    stretch: { last: number };
    onFrame: (n: number) => void;
  }) => {
    onFrame(stretch.last + 1);
    return film.values;
  },
}));

afterEach(() => {
  cleanup();
  vi.unstubAllGlobals();
});

const REPORT: DryRunReport = {
  hands: {
    left: { alive: true, tapsS: [2], says: 'The left sensor is alive; one tap on it.' },
    right: { alive: true, tapsS: [4.1, 5.3], says: 'The right sensor is alive; two taps on it.' },
  },
  channelsRight: true,
  channelsSay: 'One tap on the left, two on the right, as given.',
};
const VIEW: DryRunView = { trace: 5, films: [{ camera: 'A', file: 6 }], report: REPORT, evidence: [] };

/** A day before its first trial, the dry run not confirmed; `view` is what came of it. */
function before(view: DryRunView) {
  const day = deckView();
  const swims = day.board.trials.filter(({ state }) => state === 'planned');
  const says = 'The dry run is not confirmed yet.';
  const start = {
    ...day,
    board: { ...day.board, trials: swims, dryRun: null },
    ready: [{ what: 'dry_run', done: false, needed: true, says }] as const,
  };
  return deckLab(start, { applied: asTheLab, answers: { 'deck.dryRun': () => done(view) } });
}
const part = () => within(screen.getByRole('region', { name: /^Dry run/ }));

/** A film of 8 s: dark, with a flash of 0.1 s at each of these moments. */
function flashing(...atS: number[]): Float64Array {
  return Float64Array.from({ length: 400 }, (_, k) =>
    atS.some((flashS) => k / 50 >= flashS - 1e-9 && k / 50 < flashS + 0.1) ? 180 : 20 + (k % 2),
  );
}

describe('the dry run', () => {
  it('says what to do, and stands in the way of the first trial until it is confirmed', async () => {
    await showDeck(before({ trace: null, films: [], report: null, evidence: [] }));
    const text = plain(screen.getByRole('region', { name: /^Dry run/ }));
    expect(text).toContain('Tap the left sensor (K-1) once, then the right one (K-2) twice');
    expect(text).toContain('begin with dry-run');
    expect(await part().findByText('Waiting for the dry run’s files; nothing has come yet.')).toBeTruthy();
    expect(screen.queryByRole('button', { name: /^Begin/ })).toBeNull();
    await fireEvent.click(screen.getByRole('button', { name: /^Go to the dry run/ }));
    expect(document.activeElement).toBe(screen.getByRole('heading', { name: /^Dry run/ }));
    expect(await axeFaults()).toEqual([]);
  });

  it('tells of sensors and channels, finds the flashes, and is confirmed with initials', async () => {
    const lab = await showDeck(before(VIEW));
    expect(plain((await part().findByText(REPORT.hands.right.says)).parentElement)).toContain(
      'At 4.10 and 5.30 s.',
    );
    expect(part().getByText('The right hand is on the right channel.')).toBeTruthy();
    const video = part().getByLabelText<HTMLVideoElement>('Film of camera A');
    Object.defineProperties(video, {
      duration: { value: 8 },
      videoWidth: { value: 480 },
      videoHeight: { value: 270 },
    });
    await fireEvent(video, new Event('loadedmetadata'));
    await fireEvent.click(part().getByRole('button', { name: 'Lamp in upper left' }));
    film.values = flashing(1, 3.1, 4.3);
    await fireEvent.click(part().getByRole('button', { name: 'Find the flashes' }));
    // Every flash lies 1 s before its tap: the clocks differ by a constant.
    expect(plain(await part().findByText(/3 flashes found/))).toContain(
      '3 flashes found in the film, each known to 0.02 s; 3 taps on the trace. The clocks meet',
    );
    expect(await axeFaults()).toEqual([]);
    const says = part().getByRole<HTMLInputElement>('textbox', { name: 'What was found' });
    expect(says.value).toBe('Both sensors alive, right hand on the right channel, clocks meet.');
    await fireEvent.input(part().getByRole('textbox', { name: 'Initials' }), { target: { value: 'CD' } });
    await fireEvent.click(part().getByRole('button', { name: 'Confirm the dry run' }));
    await waitFor(() =>
      expect(lab.acts()).toEqual([{ act: 'dry.confirm', initials: 'CD', says: says.value }]),
    );
  });

  it('says so where nothing flashes', async () => {
    await showDeck(before(VIEW));
    const video = await part().findByLabelText<HTMLVideoElement>('Film of camera A');
    Object.defineProperties(video, {
      duration: { value: 8 },
      videoWidth: { value: 480 },
      videoHeight: { value: 270 },
    });
    await fireEvent(video, new Event('loadedmetadata'));
    film.values = flashing();
    await fireEvent.click(part().getByRole('button', { name: 'Find the flashes' }));
    expect(plain(await part().findByRole('alert'))).toContain('Point closer at where the lamp is.');
  });

  it('stands folded once it is confirmed, and can be looked at again', async () => {
    await showDeck(deckLab(deckView(), { answers: { 'deck.dryRun': () => done(VIEW) } }));
    expect(plain(screen.getByRole('region', { name: /^Dry run/ }))).toMatch(
      /Confirmed by AB at \d\d:\d\d: Both/,
    );
    expect(part().queryByRole('button', { name: 'Confirm the dry run' })).toBeNull();
    press('d');
    expect(document.activeElement).toBe(screen.getByRole('heading', { name: /^Dry run/ }));
    await fireEvent.click(part().getByRole('button', { name: 'Look at it again' }));
    expect(await part().findByText(REPORT.hands.left.says)).toBeTruthy();
  });
});

describe('the flash reader', () => {
  const size = { durationS: 1, widthPx: 480, heightPx: 270 };
  it('reads a place of the picture at the planned rate, no finer than a flash by hand is', () => {
    expect(boxOf('whole', size)).toEqual({ x: 0, y: 0, width: 480, height: 270 });
    expect(boxOf(5, size)).toEqual({ x: 320, y: 90, width: 160, height: 90 });
    expect(momentsOf(1, 0.02)).toHaveLength(50);
    expect(new FlashReader(1, 'A', 240).stepS).toBe(0.02);
    expect(new FlashReader(1, 'A', 25).stepS).toBe(0.04);
    expect(new FlashReader(1, 'A', null).stepS).toBe(0.02);
  });
});

it('puts the dry run in words', () => {
  expect(dryName(['{trial}_{camera}', '{participant}_{attempt}'])).toBe('dry-run_A');
  expect(dryName(['{participant}_{attempt}'])).toBe('dry-run');
  expect(isWell(REPORT)).toBe(true);
  const { left, right } = REPORT.hands;
  const dead = { ...REPORT, hands: { left: { ...left, alive: false }, right } };
  expect(isWell(dead)).toBe(false);
  expect(isWell({ ...REPORT, channelsRight: null })).toBe(false);
  expect(dryRunSays({ ...dead, channelsRight: false }, null)).toBe(
    'Not alive: the left sensor, channels the wrong way round, clocks not compared.',
  );
  const apart = meetClocks([2, 4.1, 5.3], [1, 3.1, 4.9], { frameStepS: 0.02, sampleStepS: 0.002 });
  expect(dryRunSays(REPORT, apart)).toBe(
    'Both sensors alive, right hand on the right channel, clocks do not meet.',
  );
  expect(meetingSentence([1], [], 0.02, null).replaceAll('\u00a0', ' ')).toBe(
    '1 flash found in the film, each known to 0.02 s; 0 taps on the trace.',
  );
});
