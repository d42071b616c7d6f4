import { join } from 'node:path';
import BetterSqlite from 'better-sqlite3';
import { describe, expect, test } from 'vitest';
import { benchLab, type BenchLab } from '../benchlab.ts';
import { OLD_LABS, oldLab, type OldLab } from '../oldlabs.ts';

const TRIAL = { day: 1, trial: 'P01-1' };
const opened = async (name: OldLab): Promise<BenchLab> => benchLab(undefined, await oldLab(name));

/** What one released program kept, by what it knew of. */
const KNEW: Readonly<Record<OldLab, { readonly marking: boolean; readonly deck: boolean }>> = {
  'store-1': { marking: false, deck: false },
  'store-2': { marking: true, deck: false },
  'store-3-first': { marking: true, deck: true },
  'store-3': { marking: true, deck: true },
  'store-4': { marking: true, deck: true },
};

describe.each(OLD_LABS)('the lab folder of %s', (name) => {
  const { marking, deck } = KNEW[name];

  test('lists its days, and every one can be opened', async () => {
    const { ask } = await opened(name);
    const days = await ask('days.list', {});
    expect(days.map(({ fault }) => fault)).toEqual(days.map(() => null));
    expect(days.map(({ day }) => day).toSorted()).toEqual(
      deck ? ['deck-1', 'harbour-morning'] : ['harbour-morning'],
    );
    for (const { id } of days) expect((await ask('days.get', { day: id })).trials.length).toBeGreaterThan(0);
  });

  test('has the former events under their names of today, with the numbers they gave', async () => {
    const { ask } = await opened(name);
    const trial = await ask('trials.get', TRIAL);
    const events = new Set(trial.marking.marks.map(({ event }) => event));
    expect([...events].toSorted()).toEqual([
      'full_reach',
      'hand_below_shoulder',
      'propulsion_end',
      'propulsion_start',
      'shoulder_plane',
      'water_entry',
      'water_exit',
    ]);
    // The program that wrote the folder kept 0.2-something seconds under the name it had then; it is computed anew.
    const kept = keptThen(await oldLab(name));
    expect(trial.result.highHand?.value).toBeCloseTo(kept, 9);
    expect(trial.result.velocity?.value).toBeGreaterThan(1);
  });

  test('has what was decided', async () => {
    const { ask } = await opened(name);
    const [, second] = (await ask('days.get', { day: 1 })).trials;
    expect(second).toMatchObject({ trial: 'P02-1', status: 'excluded', exclusionReason: 'goggles lost' });
    if (!marking) return;
    const trial = await ask('trials.get', TRIAL);
    expect(trial.marking.judgements[0]?.breath).toBe('left');
    expect(trial.marking.pairs.map(({ what }) => what)).toEqual(trial.marking.pairs.map(() => 'lamp again'));
    const blind = await ask('blind.list', { day: 1 });
    expect(blind).toMatchObject([{ rater: 'R9', closed: true, items: [{ item: 1 }, { item: 2 }] }]);
    expect(blind[0]!.items.every(({ marks }) => marks > 0)).toBe(true);
    expect((await ask('zeros.get', { day: 1 })).readings[0]).toMatchObject({ before: 8160 });
    expect((await ask('areas.get', { day: 1 })).areas[0]?.kept).toMatchObject({ cm2: 142.5, uCm2: 2 });
    const { sensors, limits, faults } = await ask('bench.get', {});
    expect(faults).toEqual([]);
    expect(limits.leastPoints).toBe(8);
    expect(sensors.find(({ card }) => card.sensor === 'S-09')).toMatchObject({
      calibrations: [{ sensor: 'S-09' }],
      draft: { notes: 'begun again' },
    });
  });

  test('goes on: a mark is moved, taken back and brought again', async () => {
    if (!marking) return;
    const { ask } = await opened(name);
    const { marks } = (await ask('trials.get', TRIAL)).marking;
    const now = marks.map((mark, index) => (index === 0 ? { ...mark, timeS: mark.timeS + 0.001 } : mark));
    const moved = await ask('marks.edit', { ...TRIAL, seen: marks, now, says: 'First mark moved' });
    expect(moved.marking.marks).toEqual(now);
    await ask('history.undo', { day: 1 });
    expect((await ask('trials.get', TRIAL)).marking.marks).toEqual(marks);
  });

  test('runs its day on', async () => {
    if (!deck) return;
    const { ask } = await opened(name);
    const { id } = (await ask('days.list', {})).find(({ onDeck }) => onDeck)!;
    const view = await ask('deck.get', { day: id });
    expect(view.board.trials[0]).toMatchObject({ trial: 'P01-1', state: 'swum' });
    expect(view.board.sensors).toEqual([]);
    const noted = await ask('deck.act', {
      day: id,
      act: {
        act: 'note.add',
        kind: 'note',
        trial: null,
        participant: null,
        says: 'opened by a newer program',
      },
    });
    expect(noted.board.notes.map(({ says }) => says)).toEqual(['calm water', 'opened by a newer program']);
    const [protocol] = await ask('protocols.list', {});
    expect(protocol).toMatchObject({ name: '20 m to the wall', hasDraft: true, fault: null });
    const { versions, draft } = await ask('protocols.get', { protocol: 'sprint' });
    // The first programs called high-hand time otherwise.
    const measures = ['hand_force', 'velocity', ...(name === 'store-4' ? [] : ['high_hand'])];
    expect(versions[0]?.content.measures).toEqual(measures);
    expect(draft?.measures).toEqual(measures);
  });
});

describe('the lab folder of store-4, older than what marks and boards hold today', () => {
  test('has its marks without uncertainties of their own, and a choice of rater without a reason', async () => {
    const { ask } = await opened('store-4');
    const { marking } = await ask('trials.get', TRIAL);
    expect(marking.marks[0]).toMatchObject({ timeS: 3.54, uS: null, sharedUS: null });
    const chosen = await ask('trials.get', { day: 1, trial: 'P02-1' });
    expect(chosen).toMatchObject({ marking: { rater: 'R9', raters: ['R9', 'R1'] }, reportedWhy: '' });
  });

  test('has its known pressures at the end of the day, its calibrations without a reference, its columns raw', async () => {
    const { ask } = await opened('store-4');
    const { id } = (await ask('days.list', {})).find(({ onDeck }) => onDeck)!;
    const { board, plan, protocol, knownPressures } = await ask('deck.get', { day: id });
    expect(board.checks.map(({ sensor, when }) => [sensor, when])).toEqual([
      ['S-01', 'end'],
      ['S-02', 'end'],
    ]);
    expect(plan.sensors[0]!.calibration!.reference).toEqual({ scale: 0, zeroKpa: 0 });
    expect(plan.setup.files).toMatchObject({ leftHolds: null, rightHolds: null });
    expect(protocol.content).toMatchObject({
      tapOffsetMm: 10,
      speedVariationPct: null,
      accept: { maxCheckDeviationKpa: null },
    });
    // The protocol had no limit for a known pressure; what was not read at the start is not missed.
    expect(knownPressures.map(({ verdict }) => verdict)).toEqual(['unjudged', 'unjudged']);
    expect(
      (await ask('areas.get', { day: 1 })).areas.find(({ kept }) => kept?.method === 'traced')?.kept,
    ).toEqual({
      method: 'traced',
      cm2: 140.2,
      uCm2: 1.1,
      scaleUCm2: 0.9,
      repeatUCm2: 0.6,
      planeUCm2: null,
      offsetUCm2: null,
      count: 3,
      says: 'three outlines',
    });
  });
});

/** The trial's high-hand time as the program of then kept it, under its name of then. */
function keptThen(home: string): number {
  const db = new BetterSqlite(join(home, 'lab.sqlite'), { readonly: true });
  const { json } = db.prepare(`SELECT json FROM result WHERE day = 1 AND trial = 'P01-1'`).get() as {
    json: string;
  };
  db.close();
  type Kept = { readonly value: number };
  const { result } = JSON.parse(json) as { result: { exposure?: Kept; highHand?: Kept } };
  return (result.exposure ?? result.highHand)!.value;
}
