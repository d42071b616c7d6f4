/**
 * A testing day on deck with everything put right afterwards that can be: the numbers of the app are those that the
 * command line makes of the exported folder, to 1e-12 of their size.
 */
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { EVENTS } from '../../../../core/stroke/stroke.ts';
import { swimmer } from '../../../core/deck/build.ts';
import { SAMPLE } from '../../cli/run.ts';
import { processFolder, tempFolder } from '../../files/day-builder.ts';
import { benchLab } from '../benchlab.ts';
import { differences, trialNumbers } from '../datasetcells.ts';
import { beginDay, prepareDay, swim } from './deckday.ts';

/** Part of the size of a number by which the two may differ; near 0, this much. */
const NEAR = 1e-12;

it('comes out of the command line with the numbers of the app', { timeout: 120_000 }, async () => {
  const place = await tempFolder();
  const lab = await benchLab();
  await lab.bring(SAMPLE);
  const deck = await beginDay(lab, place);
  const day = deck.id;
  await prepareDay(deck);
  // Codes that contain one another, and one that every object has as a word of its own.
  const [inner, proto] = ['P01-1', '__proto__'];
  const odd = { leftHandAreaCm2: 133.3, rightHandAreaCm2: 135.7, handAreaUCm2: 1.9 };
  await deck.act({ act: 'swimmers.add', swimmers: [inner, proto].map((code) => swimmer(code, odd)) });
  await deck.act({ act: 'order.make', seed: 'more' });
  await lab.ask('deck.watch', { day, path: deck.folder });
  const trials = ['P01-1', 'P02-1', 'P03-1', 'P04-1', 'P05-1', 'P06-1', `${inner}-1`, `${proto}-1`];
  for (const trial of trials) await swim(deck, trial);
  for (const code of ['P01', 'P02', 'P03', 'P04', 'P05', 'P06']) deck.drop(`traces/${code}-1.csv`);
  for (const [from, trial] of [
    ['P02-2', `${inner}-1`],
    ['P05-2', `${proto}-1`],
  ] as const)
    deck.drop(`traces/${from}.csv`, `${trial}.csv`);
  deck.drop('video/P01-1-A.mp4');
  deck.drop('video/P01-1-B.webm');
  deck.drop('video/P02-1.mp4', 'P02-1-B.mp4');
  deck.drop('video/P04-1.mp4');
  deck.drop('video/P04-2.mp4', `${inner}-1.mp4`);
  await deck.until(({ files }) => files.filter(({ state }) => state === 'placed').length === 13);

  await deck.act({ act: 'sensor.wear', hand: 'left', sensor: 'S-03' });
  // P03: each hand wore the other's, and the left one another sensor; P05: the left one fell off; P06: with S-03.
  await deck.act({ act: 'trial.worn', trial: 'P03-1', worn: { left: 'S-03', right: 'S-02' }, onward: false });
  await deck.act({ act: 'trial.hands', trial: 'P03-1', swapped: true });
  await deck.act({ act: 'trial.worn', trial: 'P05-1', worn: { left: null, right: 'S-02' }, onward: false });
  await deck.act({ act: 'trial.worn', trial: 'P06-1', worn: { left: 'S-03', right: 'S-02' }, onward: false });
  const section = (startS: number, endS: number) => ({ startS, endS, method: 'gate' as const, uS: 0.0021 });
  await deck.act({
    act: 'sections.set',
    rows: trials.map((trial, k) => ({ trial, section: section(7.4 + 0.1 * k, 13.1 + 0.17 * k) })),
  });
  const marked = ['P01-1', 'P02-1', 'P03-1', 'P04-1', 'P05-1', `${inner}-1`];
  for (const trial of marked) {
    const film = trial === 'P04-1' ? 'A' : trial === 'P02-1' ? 'B' : null;
    if (film !== null)
      await lab.ask('clock.edit', {
        day,
        trial,
        seen: [],
        now: [
          { camera: film, traceS: 1.01, videoS: 0.5, what: 'flash' },
          { camera: film, traceS: 12.02, videoS: 11.503, what: 'wall, "touch"' },
        ],
        says: 'x',
      });
    const now = [7.5, 8.7, 9.9, 11.1].flatMap((timeS, k) =>
      (['left', 'right'] as const).flatMap((hand, side) =>
        EVENTS.map((event, step) => ({
          hand,
          stroke: k + 1,
          event,
          timeS: timeS + 0.6 * side + 0.09 * step,
          clock: film === null ? ('trace' as const) : ('video' as const),
          camera: film,
          uS: null,
          sharedUS: null,
        })),
      ),
    );
    await lab.ask('marks.edit', { day, trial, seen: [], now, says: 'x' });
  }
  const { section: set } = (await lab.ask('trials.get', { day, trial: 'P02-1' })).marking;
  await lab.ask('section.edit', {
    day,
    trial: 'P02-1',
    seen: set,
    now: { startS: 7.61, endS: 13.777, method: 'video', uS: 0.0071 },
    says: 'x',
  });
  const blind = await lab.ask('blind.start', { day, rater: 'R9', seed: 's', trials: ['P01-1', 'P02-1'] });
  for (const { item } of blind.items)
    await lab.ask('blind.marks', {
      session: blind.id,
      item,
      seen: [],
      now: [8, 9.3, 10.4].flatMap((timeS, k) =>
        (['left', 'right'] as const).flatMap((hand, side) =>
          (['propulsion_start', 'propulsion_end'] as const).map((event, end) => ({
            hand,
            stroke: k + 1,
            event,
            timeS: timeS + 0.55 * side + 0.49 * end,
            clock: 'trace' as const,
            camera: null,
            uS: null,
            sharedUS: null,
          })),
        ),
      ),
      says: 'x',
    });
  await lab.ask('blind.close', { session: blind.id });
  const { marking } = await lab.ask('trials.get', { day, trial: 'P01-1' });
  await lab.ask('marks.adjudicate', { day, trial: 'P01-1', rater: 'R9', seen: marking.rater, reason: 'x' });
  for (const [trial, sensor, when, raw] of [
    ['P01-1', 'S-01', 'before', 8170.25],
    ['P01-1', 'S-01', 'after', 8231.5],
    ['P03-1', 'S-03', 'before', 8111],
    ['P04-1', 'S-02', 'after', 8190.125],
  ] as const)
    await lab.ask('zeros.confirm', { day, trial, sensor, when, raw, seen: null });
  const area = {
    method: 'typed' as const,
    cm2: 150.123,
    uCm2: 2.2,
    scaleUCm2: null,
    repeatUCm2: null,
    planeUCm2: null,
    offsetUCm2: null,
  };
  await lab.ask('areas.keep', {
    day,
    participant: proto,
    hand: 'left',
    area: { ...area, count: 1, says: 'Typed.' },
    seen: null,
  });
  await lab.ask('areas.keep', {
    day,
    participant: 'P04',
    hand: 'right',
    area: { ...area, uCm2: null, count: 1, says: 'Typed.' },
    seen: null,
  });
  // P01 and P04 may not be filmed after all; marks on the film of P04 stay.
  const consents = { measuring: 'assent_and_guardian', filming: 'withheld', sharing: 'withheld' } as const;
  for (const code of ['P01', 'P04'])
    await deck.act({
      act: 'swimmer.change',
      participant: code,
      swimmer: swimmer(code, { consents, leftHandAreaCm2: 142, rightHandAreaCm2: 144, note: '=1+1, "x"' }),
    });
  await deck.act({ act: 'trial.answer', trial: 'P02-1', what: 'leave', reason: 'cap lost, "off"\n=2' });
  await lab.ask('trials.decide', {
    day,
    trial: 'P03-1',
    seen: 'recorded',
    status: 'excluded',
    reason: 'hit rope',
  });
  await lab.ask('choice.keep', { day, rule: 'latest', seen: 'day' });
  await lab.ask('choice.keep', { day, rule: 'day', seen: 'latest' });

  await lab.ask('places.allow', { path: place });
  const out = join(place, 'out');
  await lab.ask('days.export', { day, path: out, films: 'all' });
  const processed = await processFolder(out);
  const shown = await lab.ask('days.get', { day });
  expect(shown.trials.map(({ trial }) => trial).toSorted()).toEqual(trials.toSorted());
  expect(processed.refused).toEqual([]);
  const rows = processed.table('strokes');
  const wrong: string[] = [];
  let strokes = 0;
  let forces = 0;
  for (const { trial } of shown.trials) {
    const view = await lab.ask('trials.get', { day, trial });
    wrong.push(...differences(NEAR, trial, processed.trial(trial), trialNumbers(view)));
    for (const { stroke, idcPct, peakForce, meanForce } of view.result.strokes) {
      strokes += 1;
      if (peakForce !== null) forces += 1;
      const row = rows.find(
        (one) =>
          one['trial'] === trial && one['hand'] === stroke.hand && one['stroke'] === String(stroke.number),
      );
      const cells = {
        ...Object.fromEntries(EVENTS.map((event) => [`${event}_s`, stroke.marks[event]?.timeS])),
        idc_pct: idcPct,
        peak_force_n: peakForce?.value,
        peak_force_n_u: peakForce?.u,
        mean_force_n: meanForce?.value,
      };
      wrong.push(...differences(NEAR, `${trial} ${stroke.hand} ${stroke.number}`, row ?? {}, cells));
    }
  }
  expect(wrong).toEqual([]);
  expect(rows).toHaveLength(strokes);
  expect(forces).toBeGreaterThan(25);
  // A hand that wore no sensor has no force, whatever the day's sensors are.
  const bare = await lab.ask('trials.get', { day, trial: 'P05-1' });
  expect([bare.result.hands.left.peakForce, bare.trace?.hasForce]).toEqual([
    null,
    { left: false, right: true },
  ]);
});
