/** Second opinions on the screen: begun from a seed, marked blind, ended; and how far raters agree. */
import { cleanup, fireEvent, screen, waitFor, within } from '@testing-library/svelte';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import AgreementScreen from '../../../renderer/second/AgreementScreen.svelte';
import BlindScreen from '../../../renderer/second/BlindScreen.svelte';
import SecondScreen from '../../../renderer/second/SecondScreen.svelte';
import { agreementPicture } from '../../../renderer/second/blandaltman.ts';
import { decimalsOf, valueSentence } from '../../../renderer/second/agreementwords.ts';
import { hashOf, parseRoute } from '../../../renderer/route.ts';
import { axeFaults } from '../axe.ts';
import { plain, stage } from '../calibrated/stage.ts';
import { fakeFilms } from '../review/fakevideo.ts';
import { agreementView, FLOW, secondDesk } from './lab.ts';

vi.mock('../../../renderer/review/forcechart.ts', () => ({
  openForceChart: () => ({ draw: () => undefined, close: () => undefined }),
}));
beforeEach(() => {
  vi.stubGlobal(
    'ResizeObserver',
    class {
      observe() {}
      unobserve() {}
      disconnect() {}
    },
  );
  vi.stubGlobal('fetch', () =>
    Promise.resolve({ ok: true, arrayBuffer: () => Promise.resolve(new Float64Array(5001).buffer) }),
  );
  fakeFilms();
});
afterEach(() => {
  cleanup();
  vi.unstubAllGlobals();
});

describe('beginning', () => {
  it('takes a code, a seed and the trials, and lists the items in the drawn order', async () => {
    const lab = secondDesk();
    stage(SecondScreen, { desk: lab.desk, id: 1 });
    const begin = await screen.findByRole('button', { name: 'Begin' });
    expect(begin.hasAttribute('disabled')).toBe(true);
    await fireEvent.input(screen.getByLabelText('Rater code'), { target: { value: 'R 3' } });
    expect(screen.getByText(/A code takes 1 to 64/)).toBeTruthy();
    await fireEvent.input(screen.getByLabelText('Rater code'), { target: { value: 'R3' } });
    await fireEvent.input(screen.getByLabelText('Seed of the order'), { target: { value: 'blue-lane' } });
    await fireEvent.click(screen.getByRole('checkbox', { name: 'T2' }));
    expect(await axeFaults()).toEqual([]);
    await fireEvent.click(begin);
    const card = within((await screen.findByRole('heading', { name: 'Rater R3' })).closest('section')!);
    expect(lab.calls.find(({ name }) => name === 'blind.start')!.input).toEqual({
      day: 1,
      rater: 'R3',
      seed: 'blue-lane',
      trials: ['T1', 'T3'],
    });
    expect(card.getAllByRole('link').map((link) => link.getAttribute('href'))).toEqual([
      '#/day/1/second/1/1',
      '#/day/1/second/1/2',
    ]);
    expect(card.getByText(/Seed blue-lane/)).toBeTruthy();
  });

  it('says why a session could not begin', async () => {
    stage(SecondScreen, { desk: secondDesk().desk, id: 1 });
    await fireEvent.input(await screen.findByLabelText('Rater code'), { target: { value: 'R1' } });
    await fireEvent.click(screen.getByRole('button', { name: 'Begin' }));
    expect(plain(await screen.findByRole('alert'))).toContain('R1 has marked trial T1 before.');
  });

  it('ends a session after asking', async () => {
    const items = [
      { item: 1, label: 'Trial 1', marks: 4 },
      { item: 2, label: 'Trial 2', marks: 0 },
    ];
    const sessions = [{ id: 1, rater: 'R3', seed: 's', items, closed: false }];
    stage(SecondScreen, { desk: secondDesk({ sessions }).desk, id: 1 });
    await fireEvent.click(await screen.findByRole('button', { name: 'Done…' }));
    expect(plain(screen.getByRole('dialog'))).toContain('1 item of 2 has no mark yet.');
    await fireEvent.click(screen.getByRole('button', { name: 'It is done' }));
    expect(await screen.findByText(/Done: counts in the agreement/)).toBeTruthy();
  });
});

describe('marking blind', () => {
  it('shows film, trace and own marks, and nothing of whose they are', async () => {
    const items = [1, 2].map((item) => ({ item, label: `Trial ${item}`, marks: 0 }));
    const sessions = [{ id: 1, rater: 'R3', seed: 's', items, closed: false }];
    const lab = secondDesk({ sessions });
    stage(BlindScreen, { desk: lab.desk, day: 1, session: 1, item: 1 });
    expect(await screen.findByRole('heading', { name: 'Film' })).toBeTruthy();
    expect(await screen.findByRole('heading', { name: 'Trial 1', level: 1 })).toBeTruthy();
    expect(plain(document.body)).not.toMatch(/Swimmer|S01|sprint|attempt/);
    expect(screen.getByRole('button', { name: /First item/ }).hasAttribute('disabled')).toBe(true);
    expect(screen.getAllByRole('region', { name: 'Marking' }).length).toBeGreaterThan(0);
    await fireEvent.click(screen.getByRole('button', { name: /Next item/ }));
    await waitFor(() => expect(window.location.hash).toBe('#/day/1/second/1/2'));
  }, 180_000);
});

describe('agreement', () => {
  const pair = agreementView().pairs[0]!;
  const value = pair.values[0]!;

  it('is told with limits, typical error and coefficients, each empty one with its reason', async () => {
    stage(AgreementScreen, { desk: secondDesk().desk, id: 1 });
    const table = await screen.findByRole('group', { name: 'Agreement per event and quantity' });
    const row = plain(
      within(table)
        .getByRole('rowheader', { name: /Peak force/ })
        .closest('tr'),
    );
    // Bland & Altman 1986: bias −2.1, SD 38.8; with 1.96 SD (they take 2) and t(16) = 2.12, SE √(3/17) SD.
    expect(row).toContain('17 −2 (−22 to +18)−78 (−122 to −50)+74 (+46 to +118) 27');
    expect(row).toContain('empty: No spread.');
    expect(plain(table)).toContain('Water exit / s— Agreement needs at least two values');
    expect(plain(document.body)).toContain('Both give the same entry position to 85 % of 20 strokes.');
    expect(await axeFaults()).toEqual([]);
  });

  it('lets the reported rater be chosen', async () => {
    const lab = secondDesk();
    stage(AgreementScreen, { desk: lab.desk, id: 1 });
    const table = within(await screen.findByRole('table', { name: 'Whose marks are reported' }));
    expect(table.getByRole('cell', { name: /nobody has chosen/ })).toBeTruthy();
    await fireEvent.click(table.getByRole('button', { name: 'Report the marks of R2 for trial T1…' }));
    const dialog = within(await screen.findByRole('dialog', { name: 'Report the marks of R2 for T1' }));
    const take = dialog.getByRole<HTMLButtonElement>('button', { name: 'Report the marks of R2' });
    expect(take.disabled).toBe(true);
    await fireEvent.input(dialog.getByLabelText('Reason'), { target: { value: ' looked together ' } });
    await fireEvent.click(take);
    await waitFor(() =>
      expect(lab.calls.find(({ name }) => name === 'marks.adjudicate')?.input).toEqual({
        day: 1,
        trial: 'T1',
        rater: 'R2',
        seen: 'R1',
        reason: 'looked together',
      }),
    );
    await waitFor(() => expect(lab.desk.message).toBe('Trial T1: the marks of R2 are reported.'));
    expect(await screen.findByRole('cell', { name: 'looked together' })).toBeTruthy();
  });

  it('keeps the dialog and the rater reported where the lab refuses another', async () => {
    stage(AgreementScreen, { desk: secondDesk({ refuses: true }).desk, id: 1 });
    const table = within(await screen.findByRole('table', { name: 'Whose marks are reported' }));
    await fireEvent.click(table.getByRole('button', { name: 'Report the marks of R2 for trial T1…' }));
    const dialog = within(await screen.findByRole('dialog'));
    await fireEvent.input(dialog.getByLabelText('Reason'), { target: { value: 'x' } });
    await fireEvent.click(dialog.getByRole('button', { name: 'Report the marks of R2' }));
    expect(plain(await dialog.findByRole('alert'))).toContain('Another window chose before.');
    expect(table.getByRole('cell', { name: 'R1' })).toBeTruthy();
  });

  it('says what to do where no trial has two raters', async () => {
    stage(AgreementScreen, {
      desk: secondDesk({ agreement: { day: 1, matching: '', pairs: [] } }).desk,
      id: 1,
    });
    expect(await screen.findByText(/No trial of this day has marks of two raters/)).toBeTruthy();
  });

  it('is drawn as difference against mean, the bias between its limits', () => {
    const picture = agreementPicture(FLOW, value.agreement!, 800, 0)!;
    expect(picture.dots.length).toBe(17);
    const [upper, bias, lower] = picture.limits;
    expect([upper!.text, bias!.text, lower!.text]).toEqual(['Upper limit +74', 'Bias −2', 'Lower limit −78']);
    expect(bias!.y).toBeCloseTo((upper!.y + lower!.y) / 2, 6);
    // The largest difference is −81 l/min (178 by one meter, 259 by the other), at a mean of 218.5: leftmost, lowest.
    const lowest = picture.dots.reduce((one, other) => (other.y > one.y ? other : one));
    expect(lowest.x).toBe(Math.min(...picture.dots.map(({ x }) => x)));
    expect(agreementPicture([], value.agreement!, 800, 0)).toBeNull();
  });

  it('is said in plain words', () => {
    expect(decimalsOf(value.agreement!)).toBe(0);
    expect(valueSentence(pair, value)).toBe(
      'Peak force: R2 gives 2\u00a0N less than R1 on average, which chance alone could do. Of 20 differences about 19 lie between −78 and +74\u00a0N. One rater alone scatters by about 27\u00a0N. From 17 pairs of 17 swimmers.',
    );
    expect(valueSentence(pair, pair.values[1]!)).toBe(
      'Water exit: Agreement needs at least two values marked by both raters; there is one.',
    );
  });
});

describe('addresses', () => {
  it.each([
    ['#/day/3/second', { screen: 'second', day: 3 }],
    ['#/day/3/second/agreement', { screen: 'agreement', day: 3 }],
    ['#/day/3/second/2/11', { screen: 'blind', day: 3, session: 2, item: 11 }],
  ] as const)('%s', (hash, route) => {
    expect(parseRoute(hash)).toEqual(route);
    expect(hashOf(route)).toBe(hash);
  });
  it('that are none lead to the days', () => {
    expect(parseRoute('#/day/3/second/0/1')).toEqual({ screen: 'days' });
  });
});
