/** Putting a running day right: undo, wrong files, swapped sensors, withdrawal, films without consent, restart. */
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { swimmer } from '../../../core/deck/build.ts';
import { SAMPLE } from '../../cli/run.ts';
import { tempFolder } from '../../files/day-builder.ts';
import { benchLab, type BenchLab } from '../benchlab.ts';
import { beginDay, prepareDay, swim, type DeckDay } from './deckday.ts';

async function day(): Promise<{ lab: BenchLab; deck: DeckDay; place: string }> {
  const place = await tempFolder();
  const lab = await benchLab();
  await lab.bring(SAMPLE);
  const deck = await beginDay(lab, place);
  await prepareDay(deck);
  await lab.ask('deck.watch', { day: deck.id, path: deck.folder });
  return { lab, deck, place };
}

const placed = (deck: DeckDay, count: number) =>
  deck.until(({ files }) => files.filter(({ state }) => state === 'placed').length === count);

describe('on deck', () => {
  it('every act is one step that can be taken back and brought back', async () => {
    const { lab, deck } = await day();
    const before = await deck.view();
    await swim(deck, 'P01-1');
    await deck.act({ act: 'trial.answer', trial: 'P01-1', what: 'again', reason: 'late start' });
    const after = await deck.view();
    for (let step = 0; step < 3; step++) await lab.ask('history.undo', { day: deck.id });
    expect((await deck.view()).board).toEqual(before.board);
    for (let step = 0; step < 3; step++) await lab.ask('history.redo', { day: deck.id });
    expect((await deck.view()).board).toEqual(after.board);
  });

  it(
    'files that nobody can place are offered, told apart and put where a person says',
    { timeout: 180_000 },
    async () => {
      const { lab, deck } = await day();
      await swim(deck, 'P01-1');
      await swim(deck, 'P02-1');
      deck.drop('traces/P01-1.csv', 'run_0007.csv');
      await deck.until(({ files }) => files.length === 1);
      deck.drop('traces/P01-1.csv', 'run_0008.csv');
      deck.drop('sync.csv', 'P01-1.csv');
      deck.drop('day.json', 'day.json');
      const view = await deck.until(({ files }) => files.length === 4);
      const of = (name: string) => view.files.find((file) => file.name === name)!;
      expect(of('P01-1.csv').state).toBe('unreadable');
      expect(of('day.json').state).toBe('unreadable');
      expect(of('run_0008.csv')).toMatchObject({
        state: 'twice',
        says: expect.stringContaining('run_0007.csv') as string,
      });
      const free = view.files.find(({ state, kind }) => state === 'offered' && kind === 'trace')!;
      expect(free.offers[0]).toEqual({ trial: 'P02-1', as: 'trace', camera: null });

      await deck.act({
        act: 'file.give',
        file: free.id,
        to: { trial: 'P02-1', as: 'trace', camera: null },
        why: '',
      });
      const wrong = await lab.ask('trials.get', { day: deck.id, trial: 'P02-1' });
      expect(wrong.trace).not.toBeNull();
      // It was the other swimmer’s: one step, and the numbers follow.
      const right = await deck.act({
        act: 'file.give',
        file: free.id,
        to: { trial: 'P01-1', as: 'trace', camera: null },
        why: 'read off the board wrongly',
      });
      expect(right.trials.map(({ trace }) => trace !== null)).toEqual([
        true,
        ...Array<boolean>(11).fill(false),
      ]);
      expect((await lab.ask('trials.get', { day: deck.id, trial: 'P02-1' })).trace).toBeNull();
      expect((await lab.ask('history.list', { day: deck.id })).at(-1)!.says).toContain('read off the board');
    },
  );

  it('hands swapped and sensors changed reach the forces', async () => {
    const { lab, deck } = await day();
    await swim(deck, 'P01-1');
    deck.drop('traces/P01-1.csv');
    await placed(deck, 1);
    const peaks = async () => {
      const { report } = await lab.ask('deck.arrival', { day: deck.id, trial: 'P01-1' });
      return [report.hands.left!.peakN!, report.hands.right!.peakN!];
    };
    const [left, right] = await peaks();
    await deck.act({ act: 'trial.hands', trial: 'P01-1', swapped: true });
    const swapped = await peaks();
    // The same pressure, on the other hand’s area.
    expect(swapped[0]! / right!).toBeCloseTo(142 / 144, 6);
    expect(swapped[1]! / left!).toBeCloseTo(144 / 142, 6);
    await lab.ask('history.undo', { day: deck.id });
    expect(await peaks()).toEqual([left, right]);
    await deck.act({ act: 'sensor.wear', hand: 'left', sensor: 'S-03' });
    expect(await peaks()).toEqual([left, right]);
    await deck.act({
      act: 'trial.worn',
      trial: 'P01-1',
      worn: { left: 'S-03', right: 'S-02' },
      onward: true,
    });
    expect((await peaks())[0]).not.toBeCloseTo(left!, 1);
    expect((await peaks())[1]).toBe(right);
  });

  it(
    'a trial that only the camera caught is put in with its film in one step',
    { timeout: 180_000 },
    async () => {
      const { lab, deck } = await day();
      await swim(deck, 'P01-1');
      deck.drop('video/P03-2.mp4', 'clip-19.mp4');
      const { files } = await deck.until((view) => view.files.length === 1);
      const view = await deck.act({
        act: 'trial.caught',
        participant: 'P03',
        condition: null,
        file: files[0]!.id,
        camera: 'A',
      });
      const caught = view.board.trials.find(({ trial }) => trial === 'P03-3')!;
      expect(caught.state).toBe('swum');
      const { report } = await lab.ask('deck.arrival', { day: deck.id, trial: 'P03-3' });
      expect(report.verdict).toBe('look');
      const trial = await lab.ask('trials.get', { day: deck.id, trial: 'P03-3' });
      expect(trial.films).toMatchObject([{ camera: 'A', fault: null }]);
      await lab.ask('history.undo', { day: deck.id });
      expect((await deck.view()).files[0]!.state).toBe('offered');
    },
  );

  it('measuring, filming and sharing film are three consents', async () => {
    const { lab, deck, place } = await day();
    await swim(deck, 'P01-1');
    await swim(deck, 'P02-1');
    for (const code of ['P01', 'P02']) deck.drop(`traces/${code}-1.csv`);
    deck.drop('video/P01-1-A.mp4');
    deck.drop('video/P02-1.mp4');
    await placed(deck, 4);
    const consents = (filming: 'given' | 'withheld', sharing: 'given' | 'withheld') => ({
      consents: { measuring: 'given' as const, filming, sharing },
      leftHandAreaCm2: 142,
      rightHandAreaCm2: 144,
    });
    await deck.act({
      act: 'swimmer.change',
      participant: 'P01',
      swimmer: swimmer('P01', consents('withheld', 'given')),
    });
    const view = await deck.act({
      act: 'swimmer.change',
      participant: 'P02',
      swimmer: swimmer('P02', consents('given', 'given')),
    });
    expect(view.files.filter(({ state }) => state === 'hidden')).toHaveLength(1);
    expect((await lab.ask('trials.get', { day: deck.id, trial: 'P01-1' })).films).toEqual([]);
    expect((await lab.ask('trials.get', { day: deck.id, trial: 'P01-1' })).trace).not.toBeNull();
    await lab.ask('places.allow', { path: place });
    const files = async (films: 'all' | 'shareable' | 'none') =>
      (await lab.ask('days.export', { day: deck.id, path: join(place, films), films })).files;
    // day.json, roster, trials, calibration, two traces, and the film of P02 where it may go along.
    expect([await files('all'), await files('shareable'), await files('none')]).toEqual([7, 7, 6]);
    await deck.act({
      act: 'swimmer.change',
      participant: 'P02',
      swimmer: swimmer('P02', consents('given', 'withheld')),
    });
    const { files: kept } = await lab.ask('days.export', {
      day: deck.id,
      path: join(place, 'again'),
      films: 'shareable',
    });
    expect(kept).toBe(6);
  });

  it(
    'a swimmer who withdraws is gone from every answer at once, and back by a word of their own, not by undo',
    { timeout: 180_000 },
    async () => {
      const { lab, deck } = await day();
      await swim(deck, 'P02-1');
      deck.drop('traces/P02-1.csv');
      await placed(deck, 1);
      await deck.act({ act: 'swimmer.withdraw', participant: 'P02' });
      const told = JSON.stringify([
        await lab.ask('days.get', { day: deck.id }),
        await lab.ask('history.list', { day: deck.id }),
        (({ board, trials, files }) => ({ board, trials, files }))(await deck.view()),
        await lab.ask('deck.close', { day: deck.id }),
        await lab.ask('zeros.get', { day: deck.id }),
        await lab.ask('areas.get', { day: deck.id }),
      ]);
      expect(told).not.toContain('P02');
      const page = await lab.lab.resource(`/page/${deck.id}/log.html`);
      expect(page?.kind === 'bytes' && new TextDecoder().decode(page.bytes)).not.toContain('P02');
      expect(await lab.lab.resource(`/samples/${deck.id}/P02-1/left`)).toBeNull();
      await lab.ask('history.undo', { day: deck.id });
      expect(await lab.lab.resource(`/samples/${deck.id}/P02-1/left`)).toBeNull();
      await deck.act({
        act: 'swimmer.return',
        participant: 'P02',
        consents: { measuring: 'given', filming: 'given', sharing: 'given' },
        reason: 'Their own wish',
      });
      expect((await lab.ask('trials.get', { day: deck.id, trial: 'P02-1' })).trace).not.toBeNull();
    },
  );
});
