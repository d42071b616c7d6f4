/** The screen on deck as people at the pool meet it, over a lab in memory. */
import { cleanup, fireEvent, screen, waitFor, within } from '@testing-library/svelte';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { failed } from '../../../../core/base/refusal.ts';
import { axeFaults } from '../../axe.ts';
import { plain } from '../../calibrated/stage.ts';
import { press, showDeck } from '../boardstage.ts';
import { asTheLab, deckLab, deckSwimmer, deckView } from '../fixture.ts';

vi.mock('../../../../renderer/review/forcechart.ts', () => ({
  openForceChart: () => ({ draw: () => undefined, close: () => undefined }),
}));

let clockMs = 0;
beforeEach(() => {
  // Presses in these tests come no sooner than people press.
  vi.spyOn(performance, 'now').mockImplementation(() => (clockMs += 1000));
});
afterEach(() => {
  cleanup();
  vi.restoreAllMocks();
  vi.unstubAllGlobals();
});

/** Waits until an act is wholly done, which takes no time that a person would notice. */
const settled = () => new Promise((resolve) => setTimeout(resolve, 0));
const part = (name: string) => within(screen.getByRole('region', { name }));
const now = () => part('Now');
const row = (trial: string) =>
  within(screen.getByRole('region', { name: /^The order/ })).getByRole('button', {
    name: new RegExp(`^${trial}`),
  });
const click = (name: RegExp | string) => fireEvent.click(screen.getByRole('button', { name }));
/** A day on which every trial that was swum has been answered. */
function answered() {
  const view = deckView();
  const swims = view.board.trials.map((swim) =>
    swim.state === 'swum' ? { ...swim, answer: { what: 'keep' as const, reason: '' } } : swim,
  );
  return { ...view, board: { ...view.board, trials: swims } };
}

describe('now, next and after', () => {
  it('say who swims, with which sensors, and who comes', async () => {
    await showDeck();
    expect(now().getByText('S03-1')).toBeTruthy();
    expect(plain(screen.getByRole('region', { name: 'Now' }))).toContain('Swimmer S03 · attempt 1');
    expect(now().getByText('left K-1')).toBeTruthy();
    expect(now().getByText('right K-2')).toBeTruthy();
    expect(plain(screen.getByRole('region', { name: 'Now' }))).toContain(
      'Height 171 cmMass 63 kgLeft hand 142.0 ± 2.0 cm²',
    );
    expect(part('Next').getByText('S04-1')).toBeTruthy();
    expect(part('After').getByText('S01-2')).toBeTruthy();
    expect(
      now().getByRole('img', {
        name: /^Lane of S03-1: pool of 25.m, run of 20.m to the wall, measured from 10.m to 0.m before the wall/,
      }),
    ).toBeTruthy();
    expect(await axeFaults()).toEqual([]);
  });

  it('warn where a hand is bare and where the swimmer is not to be filmed', async () => {
    const view = deckView();
    const consents = { measuring: 'given', filming: 'withheld', sharing: 'withheld' } as const;
    const plan = {
      ...view.plan,
      swimmers: [deckSwimmer('S03', { consents })],
      worn: { left: 'K-1', right: null },
    };
    await showDeck(deckLab({ ...view, plan }));
    const text = plain(screen.getByRole('region', { name: 'Now' }));
    expect(text).toContain('No sensor on the right hand');
    expect(text).toContain('No filming: consent withheld');
  });

  it('count a short rest down in words', async () => {
    const view = answered();
    await showDeck(deckLab({ ...view, restUntilMs: { S03: Date.now() + 100_000 } }));
    expect(plain(screen.getByRole('region', { name: 'Now' }))).toMatch(
      /Resting .*Rest is short: rested 1:\d\d of 3:00, 1:\d\d to go/,
    );
    // It can begin all the same, but it is not what the screen asks for.
    expect(
      now()
        .getByRole('button', { name: /^Begin S03-1/ })
        .classList.contains('main'),
    ).toBe(false);
  });
});

describe('a swimmer who is not to be filmed', () => {
  it('is told of while they are still next and after, before the cameras turn', async () => {
    const view = deckView();
    const off = { measuring: 'given', filming: 'withheld', sharing: 'not_asked' } as const;
    const swimmers = view.plan.swimmers.map((one) =>
      one.participant === 'S04'
        ? { ...one, consents: off }
        : { ...one, consents: { ...off, filming: 'given' as const } },
    );
    await showDeck(deckLab({ ...view, plan: { ...view.plan, swimmers } }));
    expect(part('Next').getByText('No filming: consent withheld')).toBeTruthy();
    expect(part('After').queryByText(/No filming/)).toBeNull();
    expect(now().queryByText(/No filming/)).toBeNull();
  });
});

describe('the one thing to do', () => {
  it('goes from Begin to Ended, each by button, and the next may begin while files are on their way', async () => {
    const lab = await showDeck(deckLab(answered(), { applied: asTheLab }));
    const begin = now().getByRole('button', { name: /^Begin S03-1/ });
    expect(begin.classList.contains('main')).toBe(true);
    await fireEvent.click(begin);
    const ended = await now().findByRole('button', { name: /^Ended/ });
    expect(now().getByRole('timer', { name: 'Time in the water' }).textContent.trim()).toBe('0:00');
    expect(now().getByText('In the water')).toBeTruthy();
    await settled();
    await fireEvent.click(ended);
    await now().findByRole('button', { name: /^Begin S04-1/ });
    expect(lab.acts()).toEqual([
      { act: 'trial.begin', trial: 'S03-1' },
      { act: 'trial.end', trial: 'S03-1' },
    ]);
    expect(lab.desk.message).toBe('S03-1 has ended.');
    expect(plain(screen.getByRole('region', { name: 'S03-1' }))).toContain(
      'Waiting for the trace and the film of camera A; nothing has come yet.',
    );
    expect(await axeFaults()).toEqual([]);
  });

  it('takes the bounce of a wet finger for one press', async () => {
    vi.spyOn(performance, 'now').mockImplementation(() => (clockMs += 100));
    const lab = await showDeck(deckLab(answered(), { applied: asTheLab }));
    await fireEvent.click(now().getByRole('button', { name: /^Begin S03-1/ }));
    await fireEvent.click(await now().findByRole('button', { name: /^Ended/ }));
    expect(lab.acts()).toEqual([{ act: 'trial.begin', trial: 'S03-1' }]);
  });

  it('ends by its key what the key of beginning began, however soon, and each press once', async () => {
    vi.spyOn(performance, 'now').mockImplementation(() => (clockMs += 10));
    const lab = await showDeck(deckLab(answered(), { applied: asTheLab }));
    press('e');
    await settled();
    press('b');
    press('b');
    press('e');
    press('e');
    await waitFor(() => expect(lab.acts()).toHaveLength(2));
    expect(lab.acts()).toEqual([
      { act: 'trial.begin', trial: 'S03-1' },
      { act: 'trial.end', trial: 'S03-1' },
    ]);
  });

  it('takes another act at once, and a note goes to the trial that it made', async () => {
    vi.spyOn(performance, 'now').mockImplementation(() => (clockMs += 100));
    const lab = await showDeck(deckLab(deckView(), { applied: asTheLab }));
    press('k');
    press('k');
    press('b');
    press('2');
    await waitFor(() => expect(lab.acts()).toHaveLength(3));
    expect(lab.acts().map(({ act }) => act)).toEqual(['trial.answer', 'trial.begin', 'note.add']);
    const [, begun, noted] = lab.acts() as readonly { readonly trial: string }[];
    expect(noted!.trial).toBe(begun!.trial);
  });

  it('is not held up by a note that is on its way, and neither is lost', async () => {
    const lab = await showDeck(deckLab(answered(), { applied: asTheLab }));
    press('b');
    await now().findByRole('button', { name: /^Ended/ });
    await settled();
    press('2');
    press('e');
    await waitFor(() =>
      expect(lab.acts().map(({ act }) => act)).toEqual(['trial.begin', 'note.add', 'trial.end']),
    );
  });

  it('works by keys alone, and a key that is held is one press', async () => {
    const lab = await showDeck(deckLab(answered(), { applied: asTheLab }));
    press('b');
    await now().findByRole('button', { name: /^Ended/ });
    await settled();
    press('e', { repeat: true });
    press('e');
    await waitFor(() => expect(lab.acts().map(({ act }) => act)).toEqual(['trial.begin', 'trial.end']));
  });

  it('is what is missing, with the way to it, before the first trial', async () => {
    const view = deckView();
    const ready = [
      { what: 'checklist', done: false, needed: true, says: '2 lines of the checklist are open.' },
      { what: 'watch', done: false, needed: false, says: 'No folder is watched.' },
    ] as const;
    const planned = view.board.trials.filter(({ state }) => state === 'planned');
    await showDeck(deckLab({ ...view, board: { ...view.board, trials: planned }, ready }));
    expect(now().getByText('2 lines of the checklist are open.')).toBeTruthy();
    expect(now().queryByText('No folder is watched.')).toBeNull();
    expect(now().getByRole('link', { name: 'Go to Prepare' }).getAttribute('href')).toBe('#/day/1/prepare');
    expect(screen.queryByRole('button', { name: /^Begin/ })).toBeNull();
  });

  it('leads to the close once all is over', async () => {
    const view = answered();
    const swims = view.board.trials.filter(({ state }) => state !== 'planned');
    await showDeck(
      deckLab({ ...view, board: { ...view.board, trials: swims }, now: null, next: null, after: null }),
    );
    expect(now().getByText('Nobody')).toBeTruthy();
    expect(now().getByRole('link', { name: 'Close the day' })).toBeTruthy();
  });

  it('shows why the lab did not take an act', async () => {
    const error = { code: 'bad_input', says: 'S09-1 is being swum.', todo: 'End S09-1 first.' } as const;
    await showDeck(deckLab(answered(), { answers: { 'deck.act': () => failed(error) } }));
    press('b');
    expect((await screen.findByRole('alert')).textContent).toContain('S09-1 is being swum. End S09-1 first.');
  });
});

describe('the order', () => {
  it('shows every trial, how it stands, and what can be done with the chosen one', async () => {
    await showDeck();
    expect(plain(row('S05-1'))).toContain('Skipped: Felt unwell');
    expect(plain(row('S01-1'))).toContain('Accepted in the water for 0:15 Good');
    expect(plain(row('S02-1'))).toContain('Waits for an answer in the water for 0:15 Swim again');
    expect(plain(row('S02-2'))).toMatch(/rested 1:1\d of 3:00/);
    await fireEvent.click(row('S04-1'));
    expect(row('S04-1').getAttribute('aria-expanded')).toBe('true');
    expect(await axeFaults()).toEqual([]);
  });

  it('moves a planned trial by buttons and by keys', async () => {
    const lab = await showDeck(deckLab(deckView(), { applied: asTheLab }));
    await fireEvent.click(row('S04-1'));
    await click(/^Earlier/);
    await part('Next').findByText('S03-1');
    press('ArrowDown', { altKey: true });
    await part('Next').findByText('S04-1');
    await fireEvent.click(row('S02-2'));
    await click('Swim it first');
    await now().findByText('S02-2');
    expect(lab.acts()).toEqual([
      { act: 'trial.move', trial: 'S04-1', before: 'S03-1' },
      { act: 'trial.move', trial: 'S04-1', before: 'S01-2' },
      { act: 'trial.move', trial: 'S02-2', before: 'S03-1' },
    ]);
  });

  it('skips with a reason and puts back', async () => {
    const lab = await showDeck(deckLab(deckView(), { applied: asTheLab }));
    press('s');
    const dialog = within(await screen.findByRole('dialog', { name: 'Skip S03-1' }));
    expect(dialog.getByRole<HTMLButtonElement>('button', { name: 'Skip S03-1' }).disabled).toBe(true);
    await fireEvent.click(dialog.getByRole('button', { name: 'Needs more rest' }));
    expect(await axeFaults()).toEqual([]);
    await fireEvent.click(dialog.getByRole('button', { name: 'Skip S03-1' }));
    await waitFor(() => expect(plain(row('S03-1'))).toContain('Skipped: Needs more rest'));
    await waitFor(() => expect(screen.queryByRole('dialog')).toBeNull());
    await fireEvent.click(row('S03-1'));
    await click('Put back as the next one');
    await now().findByText('S03-1');
    expect(lab.acts()).toEqual([
      { act: 'trial.skip', trial: 'S03-1', why: 'Needs more rest' },
      { act: 'trial.unskip', trial: 'S03-1' },
    ]);
  });

  it('adds a trial of a swimmer who consents', async () => {
    const view = deckView();
    const consents = { measuring: 'withdrawn', filming: 'withheld', sharing: 'withheld' } as const;
    const swimmers = [...view.plan.swimmers, deckSwimmer('S06', { consents })];
    const content = { ...view.protocol.content, conditions: ['breathing', 'no_breathing'] };
    const lab = await showDeck(
      deckLab({ ...view, plan: { ...view.plan, swimmers }, protocol: { ...view.protocol, content } }),
    );
    press('r');
    const dialog = within(await screen.findByRole('dialog', { name: 'Add a trial' }));
    expect(dialog.queryByRole('option', { name: 'S06' })).toBeNull();
    await fireEvent.change(dialog.getByRole('combobox', { name: 'Swimmer' }), { target: { value: 'S04' } });
    await fireEvent.click(dialog.getByRole('radio', { name: 'no_breathing' }));
    expect(await axeFaults()).toEqual([]);
    await fireEvent.click(dialog.getByRole('button', { name: 'Add a trial of S04' }));
    await waitFor(() =>
      expect(lab.acts()).toEqual([{ act: 'trial.add', participant: 'S04', condition: 'no_breathing' }]),
    );
  });
});

describe('the swimmer at hand', () => {
  it('shows body and consents, and withdraws only after saying what that does', async () => {
    const lab = await showDeck(deckLab(deckView(), { applied: asTheLab }));
    press('p');
    const dialog = within(await screen.findByRole('dialog', { name: 'Swimmer S03' }));
    expect(dialog.getByText('Showing film to others').nextElementSibling!.textContent.trim()).toBe(
      'withheld',
    );
    expect(plain(dialog.getByText('Left hand').nextElementSibling)).toBe('142.0 ± 2.0 cm²');
    await fireEvent.click(dialog.getByRole('button', { name: 'Withdraw S03…' }));
    expect(plain(dialog.getByRole('group', { name: 'Withdraw S03' }))).toContain(
      'S03 stops at once. The 1 trial still to swim leaves the order. Everything recorded of S03 is hidden from every screen, number and export. Nothing is deleted: Undo brings all of it back.',
    );
    expect(lab.acts()).toEqual([]);
    expect(await axeFaults()).toEqual([]);
    await fireEvent.click(dialog.getByRole('button', { name: 'Withdraw S03 now' }));
    await now().findByText('S04-1');
    expect(lab.acts()).toEqual([{ act: 'swimmer.withdraw', participant: 'S03' }]);
    expect(plain(document.body)).not.toContain('S03-1');
  });
});

describe('a swimmer in pain', () => {
  it('ends the trial at once by one tap, is seen wherever they stand, and no repeat is proposed', async () => {
    const lab = await showDeck(deckLab(answered(), { applied: asTheLab }));
    press('b');
    await now().findByRole('button', { name: /^Ended/ });
    await settled();
    press('5');
    await now().findByRole('button', { name: /^Begin S04-1/ });
    expect(lab.acts().at(-1)).toEqual({ act: 'trial.stop', trial: 'S03-1', says: 'shoulder pain' });
    expect(plain(screen.getByRole('region', { name: 'S03-1' }))).toMatch(
      /Stopped at \d\d:\d\d: shoulder pain\. No repeat is proposed/,
    );
    expect(screen.getAllByText('Incident').length).toBeGreaterThan(0);
    expect(
      screen.getAllByRole('button', { name: /^Swim again/ }).every((one) => !one.classList.contains('main')),
    ).toBe(true);
    expect(await axeFaults()).toEqual([]);
  });

  it('begins again by the word of the person who decides alone, asked in words', async () => {
    const view = answered();
    const trials = view.board.trials.map((swim) =>
      swim.trial === 'S01-1'
        ? { ...swim, participant: 'S03', stopped: { says: 'shoulder pain', atMs: 0 } }
        : swim,
    );
    const lab = await showDeck(deckLab({ ...view, board: { ...view.board, trials } }, { applied: asTheLab }));
    expect(plain(screen.getByRole('region', { name: 'Now' }))).toContain('S03 stopped in S01-1 at');
    press('b');
    const dialog = within(await screen.findByRole('dialog', { name: 'May S03 swim?' }));
    expect(lab.acts()).toEqual([]);
    await fireEvent.click(dialog.getByRole('button', { name: 'May swim: begin S03-1' }));
    expect(dialog.getByRole('alert').textContent).toContain('Type them first');
    await fireEvent.input(dialog.getByLabelText('Initials of the person who decides'), {
      target: { value: 'DR' },
    });
    await fireEvent.click(dialog.getByRole('button', { name: 'May swim: begin S03-1' }));
    await now().findByRole('button', { name: /^Ended/ });
    expect(lab.acts()).toEqual([{ act: 'trial.begin', trial: 'S03-1', clearedBy: 'DR' }]);
  });

  it('stops for today from beside withdrawing, and the data stay', async () => {
    const lab = await showDeck(deckLab(answered(), { applied: asTheLab }));
    press('p');
    const dialog = within(await screen.findByRole('dialog', { name: 'Swimmer S03' }));
    await fireEvent.click(dialog.getByRole('button', { name: /^Stops for today, data stay/ }));
    await fireEvent.input(dialog.getByLabelText('Why'), { target: { value: 'shoulder pain' } });
    await fireEvent.click(dialog.getByRole('button', { name: 'S03 stops for today' }));
    await waitFor(() =>
      expect(lab.acts()).toEqual([{ act: 'trial.rest', participant: 'S03', why: 'shoulder pain' }]),
    );
    await now().findByText('S04-1');
  });
});
