import { cleanup, fireEvent, screen, waitFor } from '@testing-library/svelte';
import { afterEach, expect, it, vi } from 'vitest';
import HandsScreen from '../../../renderer/calibrated/HandsScreen.svelte';
import { axeFaults } from '../axe.ts';
import { calibratedDesk } from './lab.ts';
import { plain, stage } from './stage.ts';

afterEach(() => {
  cleanup();
  vi.unstubAllGlobals();
  vi.restoreAllMocks();
});

async function show(swimmer: string, method?: string) {
  const lab = calibratedDesk();
  stage(HandsScreen, { desk: lab.desk, id: 1 });
  await fireEvent.click(await screen.findByRole('button', { name: new RegExp(`^${swimmer}, left hand`) }));
  if (method !== undefined) await fireEvent.click(screen.getByRole('radio', { name: method }));
  return lab;
}
const keep = () => screen.getByRole<HTMLButtonElement>('button', { name: /^Keep for/ });

it('shows the area in use of every hand and where it comes from', async () => {
  await show('S10');
  expect(
    screen.getByRole('button', { name: /^S10, left hand: 142.0.±.2.0.cm², from the roster/ }),
  ).toBeTruthy();
  expect(screen.getByRole('button', { name: /^S2, left hand: —, none, so no force/ })).toBeTruthy();
  expect(document.activeElement).toBe(screen.getByRole('heading', { name: 'S10, left hand' }));
});

it('takes repeated typed readings and keeps them, and the roster’s value again', async () => {
  const { calls } = await show('S10', 'Type a measured area');
  expect(keep().disabled).toBe(true);
  await fireEvent.input(screen.getByLabelText('Reading 1, cm²'), { target: { value: '140' } });
  await fireEvent.click(screen.getByRole('button', { name: 'Add a reading' }));
  await fireEvent.input(screen.getByLabelText('Reading 2, cm²'), { target: { value: '144' } });
  await fireEvent.input(screen.getByLabelText('Standard uncertainty of the method, cm²'), {
    target: { value: '1.5' },
  });
  await fireEvent.click(keep());
  await waitFor(() => expect(calls.some(({ name }) => name === 'areas.keep')).toBe(true));
  // By hand: mean 142; SD of 140 and 144 is 2.828, over √2: 2; with 1.5 shared: √(4 + 2.25) = 2.5 (JCGM 100 4.2.3).
  const { input } = calls.find(({ name }) => name === 'areas.keep')!;
  expect(input).toMatchObject({ day: 1, participant: 'S10', hand: 'left', seen: null });
  const { area } = input as { area: { cm2: number; uCm2: number; method: string } };
  expect(area.method).toBe('typed');
  expect(area.cm2).toBeCloseTo(142, 10);
  expect(area.uCm2).toBeCloseTo(2.5, 10);
  await screen.findByRole('button', { name: /^S10, left hand: 142.0.±.2.5.cm², measured and typed/ });
  await fireEvent.click(screen.getByRole('button', { name: /^Take back to the roster’s value/ }));
  await screen.findByRole('button', { name: /^S10, left hand: 142.0.±.2.0.cm², from the roster/ });
});

it('refuses to keep while a reading is no area', async () => {
  await show('S10', 'Type a measured area');
  await fireEvent.input(screen.getByLabelText('Reading 1, cm²'), { target: { value: '140' } });
  await fireEvent.click(screen.getByRole('button', { name: 'Add a reading' }));
  await fireEvent.input(screen.getByLabelText('Reading 2, cm²'), { target: { value: '-3' } });
  expect(screen.getByText('It must be above 0.')).toBeTruthy();
  expect(keep().disabled).toBe(true);
});

it('estimates an adult’s hand, marked as an estimate', async () => {
  await show('S10', 'Estimate (adults)');
  // DuBois & DuBois 1916: 0.007184 × 170^0.725 × 63^0.425 = 1.7303 m²; 0.87 % of it: 150.5 cm², ± 10 %: 15.
  expect(plain(document.querySelector('.result'))).toMatch(/^Estimate ?151 ± 15 cm²/);
  await fireEvent.click(keep());
  await screen.findByRole('button', { name: /ESTIMATE from height and mass/ });
  expect(await axeFaults()).toEqual([]);
});

it('does not estimate a child’s hand, nor one without height', async () => {
  await show('S9', 'Estimate (adults)');
  expect(plain(document.querySelector('.result'))).toContain('measured, not estimated');
  expect(keep().disabled).toBe(true);
  cleanup();
  await show('S2', 'Estimate (adults)');
  expect(plain(document.querySelector('.result'))).toContain('The roster does not give both height and mass');
});

it('says that a photograph stays in the window, and that a file is no image', async () => {
  vi.stubGlobal('createImageBitmap', () => Promise.reject(new Error('no image')));
  await show('S10');
  const text = plain(document.body);
  for (const words of [
    'The photograph stays in this window.',
    'only with consent',
    'A rectangle corrects perspective in its own plane only',
  ])
    expect(text).toContain(words);
  await fireEvent.change(screen.getByLabelText('Photograph from this computer'), {
    target: { files: [new File(['x'], 'notes.txt')] },
  });
  expect(plain(await screen.findByRole('alert'))).toContain('notes.txt is not an image');
});

it('traces with the keys of the photograph, scale first, and says what is wrong with an outline', async () => {
  vi.stubGlobal('createImageBitmap', async () => ({ width: 1200, height: 900, close: () => {} }));
  HTMLCanvasElement.prototype.getContext = () => null;
  const shown = vi.spyOn(Element.prototype, 'scrollIntoView');
  const { calls } = await show('S10');
  await fireEvent.change(screen.getByLabelText('Photograph from this computer'), {
    target: { files: [new File(['x'], 'hand.png')] },
  });
  const photo = await screen.findByRole('application', { name: 'Photograph to trace on' });
  // It is seen once it is loaded, wherever on the page its field stands.
  expect(shown.mock.contexts).toContain(photo.parentElement);
  await fireEvent.click(screen.getByRole('radio', { name: 'Two points' }));
  await fireEvent.input(screen.getByLabelText('Distance, cm'), { target: { value: '10' } });
  let at = { x: 600, y: 450 };
  const press = async (key: string, held = {}) => fireEvent.keyDown(photo, { key, ...held });
  const walk = async (less: string, more: string, by: number) => {
    const key = by < 0 ? less : more;
    for (let k = 0; k < Math.floor(Math.abs(by) / 10); k++) await press(key, { shiftKey: true });
    for (let k = 0; k < Math.abs(by) % 10; k++) await press(key);
  };
  const place = async (x: number, y: number) => {
    await walk('ArrowLeft', 'ArrowRight', x - at.x);
    await walk('ArrowUp', 'ArrowDown', y - at.y);
    at = { x, y };
    await press('Enter');
  };
  expect(screen.getByText('Scale: mark end 1 of 2 of the known distance.')).toBeTruthy();
  await place(500, 450);
  await place(600, 450);
  expect(screen.getByText(/^Outline 1: start at the wrist/)).toBeTruthy();
  // A bow tie first: its sides cross.
  for (const [x, y] of [
    [600, 500],
    [700, 600],
    [700, 500],
    [600, 600],
  ] as const)
    await place(x, y);
  await fireEvent.click(screen.getByRole('button', { name: 'Finish this outline' }));
  expect(plain(screen.getByRole('alert'))).toContain('The outline crosses itself');
  for (let k = 0; k < 3; k++) await press('Backspace');
  // 100 px are 10 cm: a square of 120 px is 144 cm².
  for (const [x, y] of [
    [720, 500],
    [720, 620],
    [600, 620],
  ] as const)
    await place(x, y);
  expect(plain(document.body)).toContain('Outline so far, closed straight: 144.0 cm²');
  // At the first point again: finished.
  await place(600, 500);
  expect(plain(screen.getByRole('list', { name: 'Finished outlines' }))).toContain('Outline 1: 144.0 cm²');
  expect(plain(document.querySelector('.result'))).toContain('trace the outline again');
  for (const [x, y] of [
    [600, 500],
    [720, 500],
    [720, 630],
    [600, 630],
    [600, 500],
  ] as const)
    await place(x, y);
  expect(await axeFaults()).toEqual([]);
  await fireEvent.click(keep());
  await waitFor(() => expect(calls.some(({ name }) => name === 'areas.keep')).toBe(true));
  const { area } = calls.find(({ name }) => name === 'areas.keep')!.input as {
    area: { method: string; cm2: number; repeatUCm2: number; count: number };
  };
  // 144 cm² and 12 × 13 = 156 cm²: mean 150, SD/√2 = 6 (JCGM 100 4.2.3); both as seen 7.5 mm nearer than the sheet,
  // from 60 cm: (59.25/60)² of them by similar triangles.
  const nearer = (59.25 / 60) ** 2;
  expect(area).toMatchObject({ method: 'traced', count: 2 });
  expect(area.cm2).toBeCloseTo(150 * nearer, 9);
  expect(area.repeatUCm2).toBeCloseTo(6 * nearer, 9);
});
