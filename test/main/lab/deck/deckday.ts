/** A testing day on deck, run through the contract as the screens run it, with the sample day's files. */
import { cpSync, mkdirSync, utimesSync } from 'node:fs';
import { join } from 'node:path';
import type { DeckAct } from '../../../../core/deck/deck.ts';
import type { DeckView } from '../../../../core/contract/deck.ts';
import { PROTOCOL, SETUP, swimmer } from '../../../core/deck/build.ts';
import { SAMPLE } from '../../cli/run.ts';
import type { BenchLab } from '../benchlab.ts';

export const SIX = ['P01', 'P02', 'P03', 'P04', 'P05', 'P06'] as const;

/** The sample day's protocol: rest of a moment, so that a test need not wait. */
export const SPRINT = {
  ...PROTOCOL,
  restMinS: 0,
  rateHz: 500,
  cameras: [
    { camera: 'A', frameRateHz: 50, sees: 'the last 10 m' },
    { camera: 'B', frameRateHz: 59.94, sees: 'the wall' },
  ],
};

export interface DeckDay {
  readonly id: number;
  readonly act: (act: DeckAct) => Promise<DeckView>;
  readonly view: () => Promise<DeckView>;
  /** Puts a file of the sample day into the watched folder; gives its name there. */
  readonly drop: (from: string, name?: string) => string;
  readonly folder: string;
  /** Waits until the day looks as wanted. */
  readonly until: (wanted: (view: DeckView) => boolean) => Promise<DeckView>;
}

/** Begins a day from a new protocol, with sensors whose calibrations came with the sample day. */
export async function beginDay(lab: BenchLab, place: string, day = 'deck-1'): Promise<DeckDay> {
  const { ask } = lab;
  await ask('protocols.draft', { protocol: 'sprint', draft: SPRINT });
  await ask('protocols.keep', { protocol: 'sprint' });
  const { day: id } = await ask('deck.new', { day, protocol: 'sprint', version: 1, setup: SETUP });
  const folder = join(place, 'watched');
  mkdirSync(folder, { recursive: true });
  await ask('places.allow', { path: folder });
  const act = (act: DeckAct) => ask('deck.act', { day: id, act });
  const view = () => ask('deck.get', { day: id });
  return {
    id,
    act,
    view,
    folder,
    drop: (from, name = from.split('/').at(-1)!) => {
      const to = join(folder, name);
      cpSync(join(SAMPLE, from), to);
      const written = new Date(Date.now() - 60_000);
      utimesSync(to, written, written);
      return name;
    },
    until: async (wanted) => {
      for (let tries = 0; tries < 300; tries++) {
        const now = await view();
        if (wanted(now)) return now;
        await new Promise((resolve) => setTimeout(resolve, 100));
      }
      throw new Error(`The day never looked as wanted: ${JSON.stringify((await view()).files, null, 1)}`);
    },
  };
}

/** Everything that is done before the first trial. */
export async function prepareDay(day: DeckDay, codes: readonly string[] = SIX): Promise<void> {
  await day.act({
    act: 'swimmers.add',
    swimmers: codes.map((code) =>
      swimmer(code, { leftHandAreaCm2: 142, rightHandAreaCm2: 144, handAreaUCm2: 2 }),
    ),
  });
  await day.act({ act: 'sensor.wear', hand: 'left', sensor: 'S-01' });
  await day.act({ act: 'sensor.wear', hand: 'right', sensor: 'S-02' });
  for (const item of SPRINT.checklists.before)
    await day.act({ act: 'line.tick', list: 'before', item, initials: 'KL' });
  await day.act({ act: 'order.make', seed: 'deck-1' });
  await day.act({ act: 'dry.confirm', initials: 'KL', says: 'Taps on the right channels, clocks meet.' });
}

/** Swims a trial: begun and ended. */
export async function swim(day: DeckDay, trial: string): Promise<DeckView> {
  await day.act({ act: 'trial.begin', trial });
  return day.act({ act: 'trial.end', trial });
}
