/** The verdict on the screen on deck: told in words, drawn, answered by a person. */
import { cleanup, fireEvent, screen, waitFor, within } from '@testing-library/svelte';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { done, failed } from '../../../../core/base/refusal.ts';
import { saturatedSpans } from '../../../../renderer/deck/arrival/saturation.ts';
import {
  evidenceSentence,
  lineFault,
  numberRows,
  reasonFrom,
  worstFinding,
} from '../../../../renderer/deck/arrival/arrivalwords.ts';
import { rawOption } from '../../../../renderer/deck/arrival/rawplot.ts';
import { THEMES } from '../../../../renderer/theme/tokens.ts';
import { axeFaults } from '../../axe.ts';
import { plain } from '../../calibrated/stage.ts';
import { trialView } from '../../review/fixture.ts';
import { press, showDeck } from '../boardstage.ts';
import { arrivalReport, asTheLab, deckLab, deckTrial, deckView, finding, swumTrial } from '../fixture.ts';

vi.mock('../../../../renderer/review/forcechart.ts', () => ({
  openForceChart: () => ({ draw: () => undefined, close: () => undefined }),
}));
vi.mock('../../../../renderer/plot/chart.ts', () => ({
  openChart: () => ({ draw: () => undefined, close: () => undefined }),
}));

let clockMs = 0;
beforeEach(() => {
  vi.spyOn(performance, 'now').mockImplementation(() => (clockMs += 1000));
});
afterEach(() => {
  cleanup();
  vi.restoreAllMocks();
  vi.unstubAllGlobals();
});

const verdictOf = (trial: string) => within(screen.getByRole('region', { name: trial }));
const reason = () =>
  screen.getByRole<HTMLInputElement>('textbox', { name: 'Why it is swum again or excluded' });
const answerButton = (name: RegExp) =>
  within(screen.getByRole('group', { name: /^Answer for/ })).getByRole('button', { name });

/** The day of the fixture, its open trial with this report. */
function withCheck(report: ReturnType<typeof arrivalReport>) {
  const view = deckView();
  const says = report.findings[0]?.says ?? '';
  const trials = view.trials.map((trial) =>
    trial.trial === 'S02-1' ? { ...trial, report: { verdict: report.verdict, says } } : trial,
  );
  return deckLab(
    { ...view, trials },
    { applied: asTheLab, answers: { 'deck.arrival': ({ trial }) => done({ trial, report }) } },
  );
}
const good = () =>
  arrivalReport({ verdict: 'good', findings: [finding({ says: 'The trace is 10.0 s long.' })] });

async function show(lab = withCheck(arrivalReport())) {
  await showDeck(lab);
  await screen.findByRole('heading', { name: /^What was found/ });
  return lab;
}

describe('the verdict', () => {
  it('stands in words, the worst finding first, every finding a sentence, the numbers as a table', async () => {
    await show();
    const part = verdictOf('S02-1');
    expect(part.getAllByText('Swim again').length).toBeGreaterThan(0);
    const found = part.getAllByRole('listitem').map((item) => plain(item));
    expect(found[0]).toContain('Swim again: The right hand lost 84 ms of samples in the section');
    expect(found[1]).toContain('In doubt: The film of camera A has not come yet.');
    expect(found[2]).toContain('Good: The trace is 10.0 s long.');
    const numbers = within(part.getByRole('table', { name: 'Numbers behind the verdict' }));
    const row = numbers.getByRole('rowheader', { name: 'Longest gap' }).closest('tr')!;
    expect(plain(row)).toBe('Longest gap0 ms84 ms');
    expect(part.getByRole('link', { name: 'Review S02-1' }).getAttribute('href')).toBe('#/day/1/trial/S02-1');
    expect(await axeFaults()).toEqual([]);
  });

  it('is asked for once, and again when something of the trial changed, not with every act', async () => {
    const lab = await show();
    const asked = () => lab.calls.filter(({ name }) => name === 'deck.arrival').length;
    expect(asked()).toBe(1);
    press('1');
    await waitFor(() => expect(lab.acts()).toHaveLength(1));
    expect(asked()).toBe(1);
    const view = deckView();
    const trials = view.trials.map((trial) =>
      trial.trial === 'S02-1' ? { ...trial, films: [{ camera: 'A', file: 7 }] } : trial,
    );
    lab.put({ ...view, trials });
    await waitFor(() => expect(asked()).toBe(2));
  });

  it('is not there while the trace is on its way, and that is said', async () => {
    const view = deckView();
    const trials = view.trials.map((trial) =>
      trial.trial === 'S02-1'
        ? deckTrial('S02-1', {
            films: [{ camera: 'A', file: 4 }],
            report: { verdict: 'look', says: 'The trace has not come yet.' },
          })
        : trial,
    );
    await showDeck(deckLab({ ...view, trials }));
    const part = verdictOf('S02-1');
    expect(part.getByText('No verdict yet')).toBeTruthy();
    expect(part.getByText('Waiting for the trace; the film of camera A is here.')).toBeTruthy();
    // The queue goes on meanwhile.
    expect(screen.getByRole('button', { name: /^Begin S03-1/ }).classList.contains('main')).toBe(true);
  });

  it('says why there is none', async () => {
    const error = { code: 'not_found', says: 'S02-1 has no report.', todo: 'Look again.' } as const;
    await showDeck(deckLab(deckView(), { answers: { 'deck.arrival': () => failed(error) } }));
    expect((await screen.findByRole('alert')).textContent).toContain('S02-1 has no report.');
  });
});

describe('the answer', () => {
  it('to swim again carries the worst finding as its reason and puts a repeat into the order', async () => {
    const lab = await show();
    expect(reason().value).toBe(arrivalReport().findings[0]!.says);
    expect(answerButton(/^Swim again/).classList.contains('main')).toBe(true);
    expect(answerButton(/^Accept/).classList.contains('main')).toBe(false);
    await fireEvent.click(answerButton(/^Swim again/));
    await screen.findByText('No trial waits for an answer.', { exact: false });
    expect(lab.acts()).toEqual([
      { act: 'trial.answer', trial: 'S02-1', what: 'again', reason: arrivalReport().findings[0]!.says },
    ]);
    expect(lab.desk.message).toBe('S02-1: to be swum again.');
    const order = within(screen.getByRole('region', { name: /^The order/ }));
    expect(plain(order.getByRole('button', { name: /^S02-3/ }))).toContain('repeat of S02-1');
  });

  it('keeps with one press and no reason', async () => {
    const lab = await show(withCheck(good()));
    expect(reason().value).toBe('');
    expect(answerButton(/^Accept/).classList.contains('main')).toBe(true);
    press('k');
    await waitFor(() =>
      expect(lab.acts()).toEqual([{ act: 'trial.answer', trial: 'S02-1', what: 'keep', reason: '' }]),
    );
  });

  it('to leave out needs a reason where the report gives none', async () => {
    const lab = await show(withCheck(good()));
    press('l');
    const alert = await screen.findByRole('alert');
    expect(plain(alert)).toContain('A trial that does not count needs a reason.');
    expect(document.activeElement).toBe(reason());
    expect(await axeFaults()).toEqual([]);
    await fireEvent.input(reason(), { target: { value: 'Stopped at 12 m' } });
    await waitFor(() => expect(screen.queryByRole('alert')).toBeNull());
    await fireEvent.click(answerButton(/^Exclude/));
    await waitFor(() =>
      expect(lab.acts()).toEqual([
        { act: 'trial.answer', trial: 'S02-1', what: 'leave', reason: 'Stopped at 12 m' },
      ]),
    );
  });

  it('is spoken for by none where the verdict is doubtful', async () => {
    await show(withCheck(arrivalReport({ verdict: 'look', findings: arrivalReport().findings.slice(1) })));
    for (const name of [/^Accept/, /^Swim again/, /^Exclude/])
      expect(answerButton(name).classList.contains('main')).toBe(false);
    expect(reason().value).toBe('The film of camera A has not come yet.');
  });
});

describe('a trial that was answered', () => {
  it('can be opened, looked at, answered otherwise and put away', async () => {
    const lab = await show();
    await fireEvent.click(screen.getByRole('button', { name: /^S01-1/ }));
    await fireEvent.click(screen.getByRole('button', { name: 'Read its report' }));
    await screen.findByRole('region', { name: 'S01-1' });
    await waitFor(() => expect(document.activeElement).toBe(screen.getByRole('heading', { name: 'S01-1' })));
    expect(plain(screen.getByRole('region', { name: 'S01-1' }))).toContain(
      'Answered: accepted. It can be answered otherwise',
    );
    expect(answerButton(/^Accept/).getAttribute('aria-pressed')).toBe('true');
    expect(verdictOf('S01-1').getByRole('button', { name: 'S02-1: look at it' })).toBeTruthy();
    await fireEvent.click(screen.getByRole('button', { name: 'Put it away' }));
    await screen.findByRole('region', { name: 'S02-1' });
    expect(lab.acts()).toEqual([]);
  });

  it('does not give way to another that arrives', async () => {
    const view = deckView();
    const swims = [swumTrial('S07-1', Date.now()), ...view.board.trials];
    const lab = await show();
    lab.put({
      ...view,
      board: { ...view.board, trials: swims },
      trials: [deckTrial('S07-1', { trace: 9, report: { verdict: 'good', says: 'Good.' } }), ...view.trials],
    });
    await screen.findByRole('button', { name: 'S07-1: look at it' });
    expect(verdictOf('S02-1')).toBeTruthy();
  });
});

describe('the evidence', () => {
  it('is the force plot with what was found, and goes to a finding’s stretch and back', async () => {
    await show();
    const whole = await screen.findByRole('button', { name: /^Whole trace/ });
    expect(whole.getAttribute('aria-pressed')).toBe('true');
    const stretch = screen.getByRole('button', { name: /on the trace: The right hand lost 84 ms/ });
    await fireEvent.click(stretch);
    expect(stretch.getAttribute('aria-pressed')).toBe('true');
    expect(document.querySelector('rect.stretch')).toBeTruthy();
    press('w');
    await waitFor(() => expect(whole.getAttribute('aria-pressed')).toBe('true'));
    press('f');
    await waitFor(() => expect(stretch.getAttribute('aria-pressed')).toBe('true'));
    expect(plain(document.querySelector('rect.stretch')!.nextElementSibling)).toBe('right hand: 3.10–3.18 s');
  });

  it('says in words what it shows', () => {
    expect(
      plain(Object.assign(document.createElement('p'), { textContent: evidenceSentence(arrivalReport()) })),
    ).toBe(
      'Trace of 10.0 s at 500.0 Hz. The left hand: 3 strokes found on force (estimate), 2 of them in the section, typical peak 88 N. The right hand: 3 strokes found on force (estimate), 2 of them in the section, typical peak 88 N. The section is not timed yet.',
    );
    expect(lineFault({ left: true, right: true })).toBeNull();
    expect(lineFault({ left: true, right: false })).toContain('The right hand has no force');
    expect(lineFault({ left: false, right: false })).toContain('The raw samples are drawn');
  });

  it('is the raw samples where no hand has a force', async () => {
    const view = trialView();
    const trace = { ...view.trace!, hasForce: { left: false, right: false } };
    const answers = { 'trials.get': () => done({ ...view, trial: 'S02-1', trace }) };
    await showDeck(deckLab(deckView(), { answers }));
    expect(await screen.findByText(/Neither hand has a force/)).toBeTruthy();
    const option = rawOption(
      { left: Float64Array.of(1, 2, 3), right: Float64Array.of(4, 5, 6) },
      { startS: 0, rateHz: 1 },
      { fromS: 0, toS: 2 },
      { left: 'count', right: 'mV' },
      THEMES.daylight,
      400,
    ) as {
      yAxis: { name: string };
      series: { lineStyle: { type: unknown }; endLabel: { formatter: string } }[];
    };
    expect(option.yAxis.name).toBe('Left / count, Right / mV');
    expect(option.series.map(({ lineStyle, endLabel }) => [lineStyle.type, endLabel.formatter])).toEqual([
      ['solid', 'Left'],
      [[7, 4], 'Right'],
    ]);
  });

  it('marks where a sensor was at the end of its range', () => {
    const raw = Float64Array.of(5, 100, 100, 5, 5, 0, 5);
    // At 10 Hz sample k lies at k/10 s and lasts 0.1 s: samples 1 and 2 are at 100, sample 5 at 0.
    const spans = saturatedSpans(raw, { startS: 2, rateHz: 10 }, 0, 100);
    expect(spans).toHaveLength(2);
    expect(spans[0]!.fromS).toBeCloseTo(2.1, 9);
    expect(spans[0]!.toS).toBeCloseTo(2.3, 9);
    expect(spans[1]!.fromS).toBeCloseTo(2.5, 9);
    expect(spans[1]!.toS).toBeCloseTo(2.6, 9);
    expect(saturatedSpans(raw, { startS: 2, rateHz: 10 }, null, null)).toEqual([]);
  });
});

it('takes the worst finding for the reason, and nothing where all is good', () => {
  expect(worstFinding(good())).toBeNull();
  expect(reasonFrom(good())).toBe('');
  const long = finding({ verdict: 'look', says: 'x'.repeat(600) });
  expect(reasonFrom(arrivalReport({ verdict: 'look', findings: [long] }))).toHaveLength(500);
});

it('leaves a number empty with its reason where it is not known', () => {
  const { left } = arrivalReport().hands;
  const nothing = { ...left!, inSection: null, zeroShiftKpa: null, noiseN: null, peakN: null };
  const rows = numberRows(arrivalReport({ hands: { left: nothing, right: null } }));
  for (const { values, empty } of rows.slice(1, 2))
    expect([values.left, values.right, empty]).toEqual(['—', '—', 'the section is not timed']);
  expect(rows.find(({ name }) => name === 'Zero shift')!.values.left).toBe('—');
  expect(rows.find(({ name }) => name === 'Peak to noise')!.values.left).toBe('—');
});
