import '../browser.ts';
import { cleanup, fireEvent, render, screen, waitFor, within } from '@testing-library/svelte';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import App from '../../../renderer/shell/App.svelte';
import { axeFaults } from '../axe.ts';
import { goTo } from '../browser.ts';
import { CARD, DRAFT, fakeBench, LOOP, point, record } from './fixture.ts';

// axe takes its time on a busy machine.
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
  await goTo('#/sensors');
});
afterEach(cleanup);

const type = (element: HTMLElement, value: string) => fireEvent.input(element, { target: { value } });
const verdict = () => within(screen.getByRole('region', { name: 'Verdict' })).getByRole('status').textContent;

async function openBench(start: Parameters<typeof fakeBench>[0] = {}) {
  const bench = fakeBench(start);
  await goTo('#/sensors/K-1/calibrate');
  render(App, { client: bench.client });
  await screen.findByRole('heading', { name: 'Calibrate K-1' });
  return bench;
}

describe('the register', () => {
  it('lists each sensor with its state, its last calibration, its sensitivity and its drift', async () => {
    const kept = record(7, '2026-03-02T09:00:00Z', { ...DRAFT, points: LOOP });
    render(App, { client: fakeBench({ records: [kept] }).client });
    const row = (await screen.findByRole('link', { name: 'K-1' })).closest('tr')!;
    expect(row.textContent).toMatch(/left hand.*in service.*15.kPa.*Accepted with a remark.*±.*counts\/kPa/s);
    expect(row.textContent).toContain('There is one calibration so far');
    expect(await axeFaults()).toEqual([]);
  });

  it('registers a sensor by keyboard, says what is wrong beside each field, and takes it back', async () => {
    const { client, calls } = fakeBench();
    render(App, { client });
    await screen.findByRole('link', { name: 'K-1' });
    await fireEvent.keyDown(window, { key: 'n' });
    const dialog = within(screen.getByRole('dialog', { name: 'Register a sensor' }));
    await type(dialog.getByLabelText('Sensor id'), 'K-1');
    await type(dialog.getByLabelText('Range (full scale), kPa'), 'wide');
    await fireEvent.click(dialog.getByRole('button', { name: 'Register this sensor' }));
    expect(dialog.getByText(/K-1 is in the register already/)).toBeTruthy();
    expect(dialog.getByText(/“wide” is not a number/)).toBeTruthy();
    expect(await axeFaults()).toEqual([]);
    await type(dialog.getByLabelText('Sensor id'), 'K-9');
    await type(dialog.getByLabelText('Range (full scale), kPa'), '12,5');
    await fireEvent.click(dialog.getByRole('button', { name: 'Register this sensor' }));
    await screen.findByRole('link', { name: 'K-9' });
    expect(calls.find(({ name }) => name === 'sensors.save')!.input).toMatchObject({
      card: { sensor: 'K-9', rangeKpa: 12.5, rawUnit: null, state: 'in_service' },
      seen: null,
    });
    await fireEvent.click(screen.getByRole('button', { name: 'Undo' }));
    await waitFor(() => expect(screen.queryByRole('link', { name: 'K-9' })).toBeNull());
    expect(screen.getByText('Taken back: Sensor K-9 registered')).toBeTruthy();
  });

  it('shows one sensor with every calibration and its certificate, and changes its card', async () => {
    const records = [
      record(7, '2025-03-02T09:00:00Z', { ...DRAFT, points: LOOP }),
      record(9, '2026-03-02T09:00:00Z', { ...DRAFT, points: LOOP }),
    ];
    await goTo('#/sensors/K-1');
    const { client, calls } = fakeBench({ records });
    render(App, { client });
    await screen.findByRole('heading', { name: 'Sensor K-1' });
    const links = screen.getAllByRole('link', { name: /^Read or print/ });
    expect(links.map((link) => link.getAttribute('href'))).toEqual([
      '/certificate/9.html',
      '/certificate/7.html',
    ]);
    expect(screen.getAllByRole('link', { name: /^PDF/ })[0]!.getAttribute('href')).toBe('/certificate/9.pdf');
    expect(await axeFaults()).toEqual([]);
    await fireEvent.keyDown(window, { key: 'e' });
    const dialog = within(screen.getByRole('dialog', { name: 'Card of K-1' }));
    await fireEvent.click(dialog.getByRole('radio', { name: 'resting' }));
    await type(dialog.getByLabelText('Maker'), 'Quay Works');
    await type(dialog.getByLabelText('Serial number'), '0042-7');
    await type(dialog.getByLabelText('Next calibration due'), '2020-05-04');
    await fireEvent.click(dialog.getByRole('button', { name: 'Keep this card' }));
    await waitFor(() => expect(calls.some(({ name }) => name === 'sensors.save')).toBe(true));
    expect(calls.find(({ name }) => name === 'sensors.save')!.input).toEqual({
      card: { ...CARD, state: 'resting', maker: 'Quay Works', serial: '0042-7', dueOn: '2020-05-04' },
      seen: CARD,
    });
    await screen.findByText('! 2020-05-04, overdue');
    expect(screen.getByText('0042-7')).toBeTruthy();
  });

  it('says so where there is no such sensor', async () => {
    await goTo('#/sensors/K-404');
    render(App, { client: fakeBench().client });
    await screen.findByRole('heading', { name: 'There is no sensor K-404' });
  });
});

describe('the bench', () => {
  it('takes points by keyboard, judges them as they come, keeps every change and goes back a step', async () => {
    const { drafts } = await openBench();
    await fireEvent.click(screen.getByRole('radio', { name: 'Reference gauge' }));
    const [applied, raw] = [
      screen.getByLabelText('Pressure applied, kPa'),
      screen.getByLabelText('Raw value, counts'),
    ];
    const form = applied.closest('form')!;
    const take = async (kpa: string, value: string) => {
      await type(applied, kpa);
      await type(raw, value);
      await fireEvent.submit(form);
    };
    expect(verdict()).toBe('No verdict yet: no point has been read.');
    const method = screen.getByRole('heading', { name: 'Method' }).closest('details')!;
    expect(method.open).toBe(true);
    // Axes stand where the line will be.
    expect(screen.getByRole('heading', { name: 'Line' })).toBeTruthy();
    await take('0', '8200');
    await waitFor(() => expect(method.open).toBe(false));
    expect(screen.getByText(/There is one point; a line needs two/)).toBeTruthy();
    await take('10', '44700');
    expect(verdict()).toMatch(/^Accepted with a remark/);
    expect(screen.getByText(/3650/)).toBeTruthy();
    await fireEvent.keyDown(applied, { key: 'ArrowDown' });
    expect(applied).toHaveProperty('value', '10');
    await waitFor(() => expect(drafts().at(-1)?.points).toHaveLength(2));
    expect(await axeFaults()).toEqual([]);
    await fireEvent.click(screen.getByRole('button', { name: 'Undo' }));
    await waitFor(() => expect(drafts().at(-1)?.points).toHaveLength(1));
    await fireEvent.click(screen.getByRole('button', { name: 'Redo' }));
    await waitFor(() => expect(drafts().at(-1)?.points).toHaveLength(2));
  });

  it('says each fault beside its field or its point', async () => {
    const draft = {
      ...DRAFT,
      method: 'water_column' as const,
      waterTemperatureC: 78,
      columnHeightM: 1.5,
      points: [point(150, 65535, { appliedUnit: 'm_water' })],
    };
    await openBench({ drafts: new Map([['K-1', draft]]) });
    const temperature = screen.getByLabelText('Water temperature, °C');
    expect(temperature.getAttribute('aria-invalid')).toBe('true');
    const said = document.getElementById(temperature.getAttribute('aria-describedby')!)!.textContent;
    expect(said).toContain('The water temperature is 78 °C');
    expect(screen.getByText(/Point 1: The depth is 150 m in a column that is 1.5 m high/)).toBeTruthy();
    expect(screen.getByText(/Point 1: .*the reading is saturated/)).toBeTruthy();
    expect(screen.getByText(/isolated battery power/)).toBeTruthy();
    expect(screen.getByRole('button', { name: 'Keep this calibration' })).toHaveProperty('disabled', true);
  });

  it('says of a rejected calibration that it is one, before and after it is kept, under no sign of a good one', async () => {
    // The raw value falls as the pressure rises: the sensor reads backward.
    const backward = LOOP.map((one) => ({ ...one, raw: 65_000 - one.raw }));
    await openBench({ drafts: new Map([['K-1', { ...DRAFT, points: backward }]]) });
    const panel = screen.getByRole('region', { name: 'Verdict' });
    expect(verdict()).toMatch(/^Rejected/);
    expect([panel.classList.contains('rejected'), panel.classList.contains('accepted')]).toEqual([
      true,
      false,
    ]);
    const keep = screen.getByRole('button', { name: 'Keep it as rejected' });
    expect(keep.classList.contains('main')).toBe(false);
    await fireEvent.click(keep);
    const kept = (await screen.findByRole('heading', { name: /kept as rejected/ })).closest('section')!;
    expect([kept.classList.contains('rejected'), kept.classList.contains('accepted')]).toEqual([true, false]);
    expect(kept.textContent).toContain('No trial uses it.');
  });

  it('gives a gauge neither the name nor the uncertainty of a tape, and gives them back to the tape', async () => {
    const tape = { name: 'steel tape 3', sharedKpa: 0.05, scale: 0.001, perPointKpa: 0.02 };
    const dipped = record(7, '2026-03-02T09:00:00Z', {
      ...DRAFT,
      method: 'water_column',
      reference: tape,
      points: LOOP,
    });
    const { drafts } = await openBench({ records: [dipped] });
    await fireEvent.click(screen.getByRole('radio', { name: 'Reference gauge' }));
    await waitFor(() => expect(drafts().at(-1)?.method).toBe('reference_gauge'));
    expect(drafts().at(-1)!.reference).toEqual({ name: '', sharedKpa: 0, scale: 0, perPointKpa: 0 });
    expect(screen.getByLabelText('What the pressure is read from')).toHaveProperty('value', '');
    await fireEvent.click(screen.getByRole('radio', { name: 'Water column' }));
    await waitFor(() =>
      expect(screen.getByLabelText('What the pressure is read from')).toHaveProperty('value', 'steel tape 3'),
    );
  });

  it('restores what was being made, sets a point aside with a reason and takes it in again', async () => {
    const { drafts } = await openBench({ drafts: new Map([['K-1', { ...DRAFT, points: LOOP }]]) });
    expect(verdict()).toMatch(/^Accepted with a remark: The spread between runs/);
    await fireEvent.click(screen.getByRole('button', { name: /^Change…\s?point 3$/ }));
    const dialog = within(screen.getByRole('dialog', { name: 'Point 3' }));
    await type(dialog.getByLabelText('Why it is set aside'), 'Air in the tube.');
    await fireEvent.click(dialog.getByRole('button', { name: 'Set this point aside' }));
    expect(screen.getByText('Set aside: Air in the tube.')).toBeTruthy();
    await waitFor(() => expect(drafts().at(-1)?.points[2]?.setAside).toBe('Air in the tube.'));
    expect(drafts().at(-1)?.points).toHaveLength(LOOP.length);
    await fireEvent.click(screen.getByRole('button', { name: /^Change…\s?point 3$/ }));
    await fireEvent.click(screen.getByRole('button', { name: 'Let it take part again' }));
    await waitFor(() => expect(drafts().at(-1)?.points[2]?.setAside).toBeNull());
  });

  it('says when a change could not be kept, loses nothing, and tries again', async () => {
    const { trouble, drafts } = await openBench({ drafts: new Map([['K-1', { ...DRAFT, points: LOOP }]]) });
    trouble.draft = { code: 'lab_folder', says: 'The disk is full.', todo: 'Make room.' };
    await type(screen.getByLabelText('Notes of this calibration'), 'cold water');
    await screen.findByText('The disk is full.');
    expect(screen.getByLabelText('Notes of this calibration')).toHaveProperty('value', 'cold water');
    trouble.draft = null;
    await fireEvent.click(screen.getByRole('button', { name: 'Try again' }));
    await waitFor(() => expect(screen.queryByText('The disk is full.')).toBeNull());
    expect(drafts().at(-1)?.notes).toBe('cold water');
  });

  it('keeps a calibration, leads to its certificate, and lays it on the bench again when taken back', async () => {
    await openBench({ drafts: new Map([['K-1', { ...DRAFT, points: LOOP }]]) });
    await fireEvent.click(screen.getByRole('button', { name: 'Keep this calibration' }));
    const link = await screen.findByRole('link', { name: 'Read or print the certificate' });
    expect(link.getAttribute('href')).toBe('/certificate/41.html');
    expect(document.activeElement?.textContent).toContain('Calibration of K-1 kept');
    expect(await axeFaults()).toEqual([]);
    await fireEvent.click(screen.getByRole('button', { name: 'Undo' }));
    await screen.findByRole('button', { name: 'Keep this calibration' });
    expect(screen.getAllByRole('button', { name: /^Change…\s?point/ })).toHaveLength(LOOP.length);
  });

  it('changes a limit with its reason in sight, and judges anew', async () => {
    const { calls } = await openBench({ drafts: new Map([['K-1', { ...DRAFT, points: LOOP }]]) });
    await fireEvent.click(screen.getByRole('button', { name: 'Change the limits…' }));
    const dialog = within(screen.getByRole('dialog', { name: 'Limits of the bench' }));
    expect(dialog.getByText(/A stroke loads and unloads the sensor/)).toBeTruthy();
    await type(dialog.getByLabelText('Hysteresis, % of full scale'), '0.01');
    await type(dialog.getByLabelText('Spread between runs, % of full scale'), '');
    await fireEvent.click(dialog.getByRole('button', { name: 'Keep these limits' }));
    await waitFor(() => expect(verdict()).toMatch(/^Rejected: The hysteresis is/));
    expect(calls.find(({ name }) => name === 'bench.setLimits')!.input).toMatchObject({
      limits: { hysteresisPctFs: 0.01, repeatabilityPctFs: null },
    });
    await fireEvent.click(screen.getByRole('button', { name: 'Undo' }));
    await waitFor(() => expect(verdict()).toMatch(/^Accepted with a remark/));
  });
});
