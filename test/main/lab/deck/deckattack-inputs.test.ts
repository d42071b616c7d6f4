/** A testing day given what no person means to give: twice at once, foreign numbers, huge numbers, text that is code. */
import { describe, expect, it } from 'vitest';
import type { DeckAct } from '../../../../core/deck/deck.ts';
import { PROTOCOL, SETUP, swimmer } from '../../../core/deck/build.ts';
import { SAMPLE } from '../../cli/run.ts';
import { tempFolder } from '../../files/day-builder.ts';
import { benchLab, type BenchLab } from '../benchlab.ts';
import { beginDay, prepareDay, swim } from './deckday.ts';

async function page(lab: BenchLab, path: string): Promise<string> {
  const found = await lab.lab.resource(path);
  return found?.kind === 'bytes' ? new TextDecoder().decode(found.bytes) : '';
}

async function ready() {
  const lab = await benchLab();
  const folder = await lab.bring(SAMPLE);
  const deck = await beginDay(lab, await tempFolder());
  await prepareDay(deck);
  return { lab, deck, day: deck.id, folder };
}

describe('two windows at once', () => {
  it('begin a trial once, and end it once', async () => {
    const { lab, day } = await ready();
    for (const act of ['trial.begin', 'trial.end'] as const) {
      const both = await Promise.all(
        [1, 2].map(() => lab.lab.carry('deck.act', { day, act: { act, trial: 'P01-1' } })),
      );
      expect(both.filter(({ ok }) => ok)).toHaveLength(1);
    }
    const begun = await Promise.all(
      ['P02-1', 'P03-1'].map((trial) =>
        lab.lab.carry('deck.act', { day, act: { act: 'trial.begin', trial } }),
      ),
    );
    expect(begun.map(({ ok }) => ok)).toEqual([true, false]);
    const closing = await lab.fault('deck.act', { day, act: { act: 'day.close', initials: 'KL' } });
    expect(closing.says).toContain('being swum');
  });

  it('edit the same marks: the second is told', async () => {
    const { lab, deck, day } = await ready();
    await swim(deck, 'P01-1');
    const edit = (timeS: number) =>
      lab.lab.carry('marks.edit', {
        day,
        trial: 'P01-1',
        seen: [],
        now: [
          {
            hand: 'left',
            stroke: 1,
            event: 'propulsion_start',
            timeS,
            clock: 'trace',
            camera: null,
            uS: null,
            sharedUS: null,
          },
        ],
        says: 'x',
      });
    const both = await Promise.all([edit(1), edit(2)]);
    expect(both.map(({ ok }) => ok)).toEqual([true, false]);
    expect(both[1]!.ok ? '' : both[1]!.error.code).toBe('changed_meanwhile');
    const { id: session } = await lab.ask('blind.start', { day, rater: 'R9', seed: 's', trials: ['P01-1'] });
    const blind = (timeS: number) =>
      lab.lab.carry('blind.marks', {
        session,
        item: 1,
        seen: [],
        now: [
          {
            hand: 'left',
            stroke: 1,
            event: 'propulsion_start',
            timeS,
            clock: 'trace',
            camera: null,
            uS: null,
            sharedUS: null,
          },
        ],
        says: 'x',
      });
    expect((await Promise.all([blind(1), blind(2)])).map(({ ok }) => ok)).toEqual([true, false]);
  });

  it('keep the same protocol version once', async () => {
    const { lab } = await ready();
    await lab.ask('protocols.draft', { protocol: 'sprint', draft: { ...PROTOCOL, name: 'other' } });
    const both = await Promise.all([1, 2].map(() => lab.lab.carry('protocols.keep', { protocol: 'sprint' })));
    expect(both.filter(({ ok }) => ok)).toHaveLength(1);
    const days = await Promise.all(
      [1, 2].map(() =>
        lab.lab.carry('deck.new', { day: 'same', protocol: 'sprint', version: 1, setup: SETUP }),
      ),
    );
    expect(days.filter(({ ok }) => ok)).toHaveLength(1);
  });
});

describe('numbers and codes of elsewhere', () => {
  it('are refused in a sentence', async () => {
    const { lab, day, folder } = await ready();
    const act: DeckAct = { act: 'trial.begin', trial: 'P01-1' };
    for (const id of [folder, 999]) {
      await lab.fault('deck.act', { day: id, act });
      await lab.fault('deck.get', { day: id });
      await lab.fault('deck.close', { day: id });
      await lab.fault('deck.dryRun', { day: id });
      await lab.fault('deck.pulse', { day: id });
      await lab.fault('deck.watch', { day: id, path: '/tmp' });
      await lab.fault('deck.file', { day: id, name: 'x', take: true });
      await lab.fault('deck.backup', { day: id, path: '/tmp' });
      await lab.fault('deck.roster', { day: id, text: 'participant\nX', matching: null });
    }
    await lab.fault('deck.arrival', { day, trial: 'nobody-1' });
    const acts: readonly DeckAct[] = [
      { act: 'trial.move', trial: 'P01-1', before: 'nobody-1' },
      { act: 'trial.add', participant: 'nobody', condition: null },
      { act: 'trial.answer', trial: 'nobody-1', what: 'keep', reason: '' },
      { act: 'trial.worn', trial: 'P01-1', worn: { left: 'nobody', right: null }, onward: true },
      { act: 'trial.caught', participant: 'nobody', condition: null, file: null, camera: null },
      { act: 'trial.caught', participant: 'P01', condition: null, file: 77, camera: null },
      { act: 'file.give', file: 77, to: null, why: '' },
      { act: 'file.give', file: 77, to: { trial: 'dry-run', as: 'film', camera: null }, why: '' },
      { act: 'line.tick', list: 'before', item: '__proto__', initials: 'KL' },
      { act: 'day.zero', sensor: '__proto__', when: 'start', raw: 1 },
      { act: 'swimmer.withdraw', participant: 'constructor' },
      { act: 'sensor.wear', hand: 'left', sensor: 'constructor' },
      { act: 'note.add', kind: 'note', trial: 'nobody-1', participant: null, says: 'x' },
      { act: 'note.add', kind: 'note', trial: null, participant: 'nobody', says: 'x' },
      { act: 'trial.add', participant: 'P01', condition: 'nothing' },
    ];
    for (const one of acts) await lab.fault('deck.act', { day, act: one });
    for (const path of [
      '/page/999/log.html',
      `/page/${folder}/log.html`,
      '/protocol/__proto__/1.json',
      '/film/999/dry-run/A',
    ])
      expect(await lab.lab.resource(path)).toBeNull();
  });

  it('that are too many are refused before they freeze the day', async () => {
    const { lab } = await ready();
    const conditions = Array.from({ length: 12 }, (_, k) => `c${k}`);
    await lab.ask('protocols.draft', { protocol: 'huge', draft: { ...PROTOCOL, attempts: 50, conditions } });
    await lab.ask('protocols.keep', { protocol: 'huge' });
    const { day } = await lab.ask('deck.new', { day: 'huge', protocol: 'huge', version: 1, setup: SETUP });
    const swimmers = Array.from({ length: 500 }, (_, k) => swimmer(`H${k}`));
    await lab.ask('deck.act', { day, act: { act: 'swimmers.add', swimmers } });
    const { says } = await lab.fault('deck.act', { day, act: { act: 'order.make', seed: 's' } });
    expect(says).toContain('300000 trials');
  });
});

const CODE = '<img src=x onerror=alert(1)>"\'&';

it('text that is code stays text on every page', async () => {
  const { lab } = await ready();
  const draft = {
    ...PROTOCOL,
    name: CODE,
    stroke: CODE,
    checklists: { before: [CODE], close: [CODE] },
    timing: { ...PROTOCOL.timing, who: CODE },
    consentTextVersion: CODE,
    files: { ...PROTOCOL.files, names: [CODE] },
  };
  await lab.ask('protocols.draft', { protocol: 'x', draft });
  await lab.ask('protocols.keep', { protocol: 'x' });
  const setup = { ...SETUP, venue: CODE };
  const { day } = await lab.ask('deck.new', { day: 'x', protocol: 'x', version: 1, setup });
  const act = (given: DeckAct) => lab.ask('deck.act', { day, act: given });
  await act({ act: 'swimmers.add', swimmers: [swimmer('A', { note: CODE, consentTextVersion: CODE })] });
  await act({ act: 'trial.add', participant: 'A', condition: null });
  await act({ act: 'trial.skip', trial: 'A-1', why: CODE });
  await act({ act: 'trial.caught', participant: 'A', condition: null, file: null, camera: null });
  await act({ act: 'trial.answer', trial: 'A-2', what: 'leave', reason: CODE });
  await act({ act: 'note.add', kind: 'incident', trial: null, participant: null, says: CODE });
  await act({ act: 'line.tick', list: 'before', item: CODE, initials: '<b>&' });
  await act({ act: 'dry.confirm', initials: '<b>&', says: CODE });
  await act({ act: 'day.close', initials: '<b>&' });
  for (const name of ['log', 'sheets']) {
    const html = await page(lab, `/page/${day}/${name}.html`);
    expect(html).toContain('&lt;img');
    expect(html).not.toMatch(/<img|<b>|onerror=alert\(1\)>/);
  }
});

describe('a protocol file', () => {
  const file = (content: unknown) =>
    JSON.stringify({ format: 'lanebench-protocol/1', protocol: 'x', version: null, content });

  it('with what JSON cannot mean is refused with its place', async () => {
    const { lab } = await ready();
    for (const [text, where] of [
      ['{', 'not JSON'],
      ['null', 'the file'],
      [file({ ...PROTOCOL, rateHz: 'x' }), 'content.rateHz'],
      [file({ ...PROTOCOL, restMinS: 1e308 }), 'content.restMinS'],
      [file(PROTOCOL).replace('"rateHz":200', '"rateHz":1e999'), 'content.rateHz'],
      [file(PROTOCOL).replace('"rateHz":200', '"rateHz":NaN'), 'not JSON'],
      [file(PROTOCOL).replace('"rateHz":200', '"rateHz":200,"__proto__":{"a":1}'), ''],
      [
        file({ ...PROTOCOL, cameras: [{ camera: '../x', frameRateHz: 1, sees: '' }] }),
        'content.cameras.0.camera',
      ],
    ] as const) {
      const answer = await lab.lab.carry('protocols.import', { protocol: 'x', text });
      if (where === '') continue;
      expect(answer.ok ? '' : answer.error.says).toContain(where);
    }
    expect(({} as { a?: number }).a).toBeUndefined();
  });

  it('with odd but readable numbers gives days whose screens and pages still answer', async () => {
    const { lab } = await ready();
    // A code of dots alone would name another folder and lead an address elsewhere.
    expect((await lab.fault('protocols.draft', { protocol: '..', draft: PROTOCOL })).says).toContain(
      'dots alone',
    );
    const odd = {
      ...PROTOCOL,
      sectionFromWallM: [0, 10],
      restMinS: 86_400,
      rateHz: 1e308,
      sectionUM: 1e308,
      markingUS: 1e308,
      attempts: 3,
      cameras: [
        { camera: 'A', frameRateHz: 5e-324, sees: '' },
        { camera: 'A', frameRateHz: 1e308, sees: '' },
        { camera: '-.', frameRateHz: 50, sees: '' },
      ],
      conditions: ['-', '-.', '_', '-', '__proto__'],
      order: 'balanced',
      expected: { velocityMS: 5e-324, strokeLengthM: 1e308, glideM: 1e308 },
    };
    await lab.ask('protocols.import', { protocol: '-.', text: file(odd) });
    await lab.ask('protocols.keep', { protocol: '-.' });
    const setup = { ...SETUP, poolLengthM: 1e308, altitudeM: -1e308, waterTemperatureC: 40 };
    const { day } = await lab.ask('deck.new', { day: '-.', protocol: '-.', version: 1, setup });
    const act = (given: DeckAct) => lab.ask('deck.act', { day, act: given });
    await act({
      act: 'swimmers.add',
      swimmers: ['.-', '_', '-', '__proto__', 'constructor'].map((code) => swimmer(code)),
    });
    await act({ act: 'sensor.wear', hand: 'left', sensor: 'S-01' });
    await act({ act: 'sensor.wear', hand: 'right', sensor: 'S-02' });
    for (const raw of [1e308, -1e308]) {
      const check = { act: 'day.pressure', sensor: 'S-01', when: 'end', appliedKpa: 1e308, raw } as const;
      expect((await lab.fault('deck.act', { day, act: check })).says).toContain('raw limits');
      const zero = { act: 'day.zero', sensor: 'S-01', when: 'start', raw } as const;
      expect((await lab.fault('deck.act', { day, act: zero })).says).toContain('raw limits');
    }
    await act({ act: 'order.make', seed: '__proto__' });
    for (const item of PROTOCOL.checklists.before)
      await act({ act: 'line.tick', list: 'before', item, initials: 'K' });
    await act({ act: 'dry.confirm', initials: 'K', says: 'x' });
    const { board } = await lab.ask('deck.get', { day });
    // A condition named twice is one.
    expect(board.trials).toHaveLength(5 * 3 * 4);
    const trial = board.trials[0]!.trial;
    await act({ act: 'trial.begin', trial });
    await act({ act: 'trial.end', trial });
    const view = await act({ act: 'trial.answer', trial, what: 'again', reason: 'x' });
    expect(JSON.stringify(view.restUntilMs)).not.toContain('null');
    for (const name of ['days.get', 'deck.close', 'deck.dryRun', 'zeros.get'] as const)
      await lab.ask(name, { day });
    await lab.ask('deck.arrival', { day, trial });
    await lab.ask('trials.get', { day, trial });
    for (const name of ['log', 'sheets'])
      expect(/NaN|Infinity|undefined/.exec(await page(lab, `/page/${day}/${name}.html`))).toBeNull();
  });
});
