/** A swimmer who withdrew on deck is not brought back in passing, comes back by an act with a reason, and can be erased. */
import { expect, it } from 'vitest';
import { swimmer } from '../../../core/deck/build.ts';
import { SAMPLE } from '../../cli/run.ts';
import { tempFolder } from '../../files/day-builder.ts';
import { benchLab } from '../benchlab.ts';
import { beginDay, prepareDay, swim } from '../deck/deckday.ts';
import { erasePerson } from '../../../../main/lab/people/erase.ts';
import { verifyStore } from '../../../../main/lab/days/verify.ts';
import { testLab, valueOf } from '../support.ts';
import { CODE, filesWith } from './personday.ts';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';

const FILMED = { measuring: 'given', filming: 'given', sharing: 'given' } as const;

it(
  'stays away through undo, comes back with a reason, and is erased from a day on deck',
  { timeout: 240_000 },
  async () => {
    const place = await tempFolder();
    const home = join(place, 'lab');
    const lab = await benchLab(undefined, home);
    await lab.bring(SAMPLE);
    const deck = await beginDay(lab, place);
    await prepareDay(deck, ['P01', CODE, 'P03']);
    const day = deck.id;
    await lab.ask('deck.watch', { day, path: deck.folder });
    for (const [trial, from] of [
      ['P01-1', 'P01-1'],
      [`${CODE}-1`, 'P02-1'],
    ] as const) {
      await swim(deck, trial);
      deck.drop(`traces/${from}.csv`, `${trial}.csv`);
      deck.drop(`video/${from === 'P01-1' ? 'P01-1-A' : from}.mp4`, `${trial}-A.mp4`);
    }
    await deck.until((view) => view.files.filter(({ state }) => state === 'placed').length === 4);
    await deck.act({
      act: 'note.add',
      kind: 'note',
      trial: `${CODE}-1`,
      participant: CODE,
      says: 'Goggles slipped',
    });
    await deck.act({
      act: 'note.add',
      kind: 'note',
      trial: null,
      participant: null,
      says: `${CODE} and P01 met`,
    });
    const consents = async () =>
      (await deck.view()).plan.swimmers.find(({ participant }) => participant === CODE)?.consents.measuring;
    await deck.act({ act: 'swimmer.withdraw', participant: CODE });
    expect(await consents()).toBe('withdrawn');
    for (let steps = 0; steps < 3; steps++) await lab.ask('history.undo', { day });
    expect(await consents()).toBe('withdrawn');
    await deck.act({ act: 'note.add', kind: 'note', trial: null, participant: null, says: 'Warm-up over' });
    await deck.act({ act: 'swimmer.change', participant: 'P03', swimmer: swimmer('P03', { massKg: 61 }) });
    expect(await consents()).toBe('withdrawn');
    const passing = { act: 'swimmer.change', participant: CODE, swimmer: swimmer(CODE) } as const;
    expect((await lab.fault('deck.act', { day, act: passing })).says).toBe(
      'A withdrawal is not taken back in passing.',
    );
    const back = { act: 'swimmer.return', participant: CODE, consents: FILMED } as const;
    expect((await lab.fault('deck.act', { day, act: { ...back, reason: ' ' } })).code).toBe('bad_input');
    await deck.act({ ...back, reason: 'the form was another one’s' });
    expect(await consents()).toBe('given');
    await lab.ask('history.undo', { day });
    expect(await consents()).toBe('withdrawn');
    await lab.ask('history.redo', { day });
    expect(await consents()).toBe('given');

    await lab.ask('deck.watch', { day, path: null });
    await lab.lab.close();
    const { session } = await testLab(home);
    const erased = valueOf(await erasePerson(session, CODE));
    expect(erased.lines).toEqual([]);
    expect(filesWith(home, CODE)).toEqual([]);
    expect(readFileSync(join(home, 'lab.sqlite')).includes('Goggles slipped')).toBe(false);
    const found = await verifyStore(session.store, true, new AbortController().signal, () => undefined);
    expect(found.lines).toEqual([]);
    const arrivals = session.store.arrivals(day);
    expect(arrivals.map(({ outcome }) => outcome).toSorted()).toEqual([
      'stopped',
      'stopped',
      'taken',
      'taken',
    ]);
    const again = await benchLab(undefined, home);
    const view = await again.ask('deck.get', { day });
    expect(view.plan.swimmers.map(({ participant }) => participant)).toEqual(['P01', 'P03']);
    expect(view.files.map(({ name }) => name).toSorted()).toEqual(['P01-1-A.mp4', 'P01-1.csv']);
    expect(view.board.notes.map(({ says }) => says)).toEqual(['Warm-up over']);
    expect(await again.ask('trials.get', { day, trial: 'P01-1' })).toMatchObject({ participant: 'P01' });
  },
);
