/** Nothing of a swimmer who withdrew, or who does not consent to film, comes out of a running day any more. */
import { cpSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { CallInput, CallName } from '../../../../core/contract/contract.ts';
import type { FileTarget } from '../../../../core/deck/deck.ts';
import { swimmer } from '../../../core/deck/build.ts';
import { SAMPLE } from '../../cli/run.ts';
import { tempFolder } from '../../files/day-builder.ts';
import { benchLab, type BenchLab } from '../benchlab.ts';
import { beginDay, prepareDay, swim, type DeckDay } from './deckday.ts';

const CODE = /(?<![A-Za-z0-9])P04(?![A-Za-z0-9])/i;

/** Every file below a folder: its path inside, and its text. */
function everything(folder: string): readonly string[] {
  return readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map(({ parentPath, name }) => {
      const path = join(parentPath, name);
      return `${path.slice(folder.length)}\n${readFileSync(path, 'latin1')}`;
    });
}

async function job(lab: BenchLab, name: 'days.dataset' | 'deck.backup', day: number, path: string) {
  let view = await lab.ask(name, { day, path });
  while (view.state === 'running') {
    await new Promise((resolve) => setTimeout(resolve, 20));
    view = await lab.ask('jobs.get', { job: view.job });
  }
  return view;
}

/** Where an answer of the lab names the swimmer. */
function leaks(where: string, answer: unknown): string[] {
  const text = JSON.stringify(answer);
  const at = text.search(CODE);
  return at < 0 ? [] : [`${where}: …${text.slice(Math.max(0, at - 80), at + 60)}…`];
}

async function page(lab: BenchLab, path: string): Promise<string> {
  const found = await lab.lab.resource(path);
  return found?.kind === 'bytes' ? new TextDecoder().decode(found.bytes) : '';
}

async function swum(): Promise<{ lab: BenchLab; deck: DeckDay; place: string; session: number }> {
  const place = await tempFolder();
  const lab = await benchLab();
  await lab.bring(SAMPLE);
  const deck = await beginDay(lab, place);
  await prepareDay(deck);
  await lab.ask('places.allow', { path: place });
  await lab.ask('deck.watch', { day: deck.id, path: deck.folder });
  for (const code of ['P01', 'P02', 'P04']) {
    await swim(deck, `${code}-1`);
    deck.drop(`traces/${code}-1.csv`);
  }
  deck.drop('video/P04-1.mp4');
  deck.drop('video/P01-1-A.mp4');
  deck.drop('video/P04-2.mp4', 'clip of P04 in the warm-up.mp4');
  await deck.until((view) => view.files.length === 6);
  const day = deck.id;
  const section = { startS: 7.5, endS: 13.5, method: 'video' as const, uS: 0.0058 };
  await deck.act({
    act: 'sections.set',
    rows: ['P01-1', 'P02-1', 'P04-1'].map((trial) => ({ trial, section })),
  });
  const area = {
    method: 'typed' as const,
    cm2: 150,
    uCm2: 2,
    scaleUCm2: null,
    repeatUCm2: null,
    planeUCm2: null,
    offsetUCm2: null,
    count: 1,
    says: 'Typed.',
  };
  await lab.ask('areas.keep', { day, participant: 'P04', hand: 'left', area, seen: null } as never);
  for (const trial of ['P01-1', 'P04-1']) {
    await lab.ask('zeros.confirm', { day, trial, sensor: 'S-01', when: 'before', raw: 8170, seen: null });
    const marks = [7.1, 8.3, 9.5, 10.7].flatMap((timeS, k) =>
      (['left', 'right'] as const).flatMap((hand, side) =>
        (['propulsion_start', 'propulsion_end'] as const).map((event, end) => ({
          hand,
          stroke: k + 1,
          event,
          timeS: timeS + 0.6 * side + 0.5 * end,
          clock: 'trace' as const,
          camera: null,
          uS: null,
          sharedUS: null,
        })),
      ),
    );
    await lab.ask('marks.edit', { day, trial, seen: [], now: marks, says: `marked ${trial}` });
    await lab.ask('clock.edit', {
      day,
      trial,
      seen: [],
      now: [{ camera: 'A', traceS: 1, videoS: 1.5, what: `slate of ${trial}` }],
      says: 'x',
    });
    await lab.ask('trials.decide', { day, trial, seen: 'recorded', status: 'accepted', reason: '' });
  }
  const blind = await lab.ask('blind.start', {
    day,
    rater: 'R9',
    seed: 'seed',
    trials: ['P01-1', 'P04-1', 'P02-1'],
  });
  for (const { item } of blind.items) {
    const seen = (await lab.ask('blind.get', { session: blind.id, item })).marking.marks;
    await lab.ask('blind.marks', {
      session: blind.id,
      item,
      seen,
      now: [
        {
          hand: 'left',
          stroke: 1,
          event: 'propulsion_start',
          timeS: 8,
          clock: 'trace',
          camera: null,
          uS: null,
          sharedUS: null,
        },
      ],
      says: 'one',
    });
  }
  await lab.ask('blind.close', { session: blind.id });
  await deck.act({ act: 'trial.answer', trial: 'P02-1', what: 'again', reason: 'P04 was in the lane' });
  const word = { day, trial: 'P01-1', seen: 'accepted', status: 'excluded', reason: 'hit by P04' } as const;
  await lab.ask('trials.decide', word);
  await deck.act({ act: 'trial.skip', trial: 'P03-1', why: 'had to wait for P04' });
  await deck.act({ act: 'note.add', kind: 'note', trial: null, participant: null, says: 'P04 looks cold' });
  await deck.act({ act: 'note.add', kind: 'incident', trial: 'P04-1', participant: null, says: 'cramp' });
  await deck.act({ act: 'note.add', kind: 'note', trial: null, participant: 'P04', says: 'left' });
  await deck.act({
    act: 'file.give',
    file: (await deck.view()).files.find(({ name }) => name.startsWith('clip'))!.id,
    to: null,
    why: 'only P04 warming up',
  });
  return { lab, deck, place, session: blind.id };
}

describe('a swimmer who withdrew', () => {
  it('is in no answer, page, resource, export or dataset', async () => {
    const { lab, deck, place, session } = await swum();
    const day = deck.id;
    await deck.act({ act: 'swimmer.withdraw', participant: 'P04' });
    const found: string[] = [];
    const ask = async <N extends CallName>(name: N, input: CallInput<N>) => {
      const answer = await lab.lab.carry(name, input);
      if (name === 'deck.get' && answer.ok) {
        const { plan, ...view } = answer.value as Awaited<ReturnType<DeckDay['view']>>;
        found.push(...leaks(name, [view, plan.swimmers.filter(({ participant }) => participant !== 'P04')]));
      } else found.push(...leaks(`${name} ${JSON.stringify(input)}`, answer));
    };
    for (const name of [
      'days.get',
      'history.list',
      'zeros.get',
      'areas.get',
      'choice.get',
      'blind.list',
      'agreement.get',
      'deck.get',
      'deck.close',
      'deck.dryRun',
      'deck.pulse',
    ] as const)
      await ask(name, { day });
    await ask('days.list', {});
    await ask('bench.get', {});
    await ask('choice.try', { day, rule: 'latest' });
    for (const item of [1, 2, 3]) await ask('blind.get', { session, item });
    for (const trial of ['P01-1', 'P02-1']) {
      await ask('trials.get', { day, trial });
      await ask('deck.arrival', { day, trial });
      await ask('trials.budget', { day, trial, hand: 'left', forceN: 20 });
    }
    await ask('deck.sections', {
      day,
      text: 'trial,section_start_s,section_end_s\nP02-1,7,13\n',
      matching: null,
    });
    for (const path of ['samples', 'raw'])
      expect(await lab.lab.resource(`/${path}/${day}/P04-1/left`)).toBeNull();
    for (const token of ['P04-1', ...[1, 2, 3].map((item) => `blind~${session}~${item}`)]) {
      const film = await lab.lab.resource(`/film/${day}/${token}/A`);
      expect(film === null || token !== 'P04-1').toBe(true);
    }
    for (const kind of ['log', 'sheets']) {
      const html = await page(lab, `/page/${day}/${kind}.html`);
      expect(html.length).toBeGreaterThan(1000);
      found.push(...leaks(kind, html));
    }
    await lab.ask('days.export', { day, path: join(place, 'exported'), films: 'all' });
    for (const text of everything(join(place, 'exported'))) found.push(...leaks('export', text));
    const made = await job(lab, 'days.dataset', day, place);
    expect(made.error).toBeNull();
    found.push(...leaks('job', made));
    for (const text of everything(join(place, 'deck-1'))) found.push(...leaks('dataset', text));
    expect(found).toEqual([]);
    expect((await lab.ask('days.list', {})).find(({ id }) => id === day)).toMatchObject({
      swimmers: 5,
      trials: 2,
    });
  });

  it(
    'is not named by undo and redo either, nor where they were taken off the list after',
    { timeout: 180_000 },
    async () => {
      const lab = await benchLab();
      await lab.bring(SAMPLE);
      const deck = await beginDay(lab, await tempFolder());
      const day = deck.id;
      await deck.act({ act: 'swimmers.add', swimmers: [swimmer('P04')] });
      const consents = { measuring: 'withdrawn', filming: 'withheld', sharing: 'withheld' } as const;
      await deck.act({ act: 'swimmer.change', participant: 'P04', swimmer: swimmer('P04', { consents }) });
      await lab.ask('history.undo', { day });
      expect(leaks('redo', await lab.ask('history.redo', { day }))).toEqual([]);
      await deck.act({ act: 'swimmer.remove', participant: 'P04' });
      expect(leaks('history', await lab.ask('history.list', { day }))).toEqual([]);
      expect(leaks('log', await page(lab, `/page/${day}/log.html`))).toEqual([]);
    },
  );

  it('while the dataset is being written is not left in it', async () => {
    const { lab, deck, place } = await swum();
    const path = join(place, 'to');
    mkdirSync(path);
    const order = { day: deck.id, path };
    const { job: number } = await lab.ask('days.dataset', order);
    let view = await lab.ask('jobs.get', { job: number });
    while (view.state === 'running' && view.done === 0) {
      await new Promise((resolve) => setImmediate(resolve));
      view = await lab.ask('jobs.get', { job: number });
    }
    expect(view.state).toBe('running');
    await deck.act({ act: 'swimmer.withdraw', participant: 'P04' });
    while (view.state === 'running') {
      await new Promise((resolve) => setTimeout(resolve, 10));
      view = await lab.ask('jobs.get', { job: number });
    }
    expect(view.error).toMatchObject({ code: 'changed_meanwhile' });
    expect(readdirSync(path)).toEqual([]);
    expect((await job(lab, 'days.dataset', deck.id, path)).error).toBeNull();
  });
});

it('is gone from the history of a day opened from a folder, once that is opened without them', async () => {
  const folder = join(await tempFolder(), 'day');
  cpSync(SAMPLE, folder, { recursive: true });
  const lab = await benchLab();
  const day = await lab.bring(folder);
  for (const trial of ['P04-1', 'P01-1'])
    await lab.ask('trials.decide', { day, trial, seen: 'accepted', status: 'excluded', reason: 'x' });
  const area = {
    method: 'typed',
    cm2: 150,
    uCm2: 2,
    scaleUCm2: null,
    repeatUCm2: null,
    planeUCm2: null,
    offsetUCm2: null,
  } as const;
  const typed = { ...area, count: 1, says: 'Typed.' };
  await lab.ask('areas.keep', { day, participant: 'P04', hand: 'left', area: typed, seen: null });
  const roster = join(folder, 'roster.csv');
  const lines = readFileSync(roster, 'utf8').split('\n');
  writeFileSync(
    roster,
    lines
      .map((line) =>
        line.startsWith('P04,') ? line.replace(/,(given|assent_and_guardian)/, ',withdrawn') : line,
      )
      .join('\n'),
  );
  await lab.bring(folder);
  const history = await lab.ask('history.list', { day });
  expect(leaks('history', history)).toEqual([]);
  expect(history.some(({ says }) => says.includes('P01-1'))).toBe(true);
  expect(leaks('day', await lab.ask('days.get', { day }))).toEqual([]);
});

describe('a swimmer who is not to be filmed', () => {
  it(
    'has no film under another name: neither given as a trace nor by a blind token',
    { timeout: 180_000 },
    async () => {
      const place = await tempFolder();
      const lab = await benchLab();
      await lab.bring(SAMPLE);
      const deck = await beginDay(lab, place);
      await prepareDay(deck);
      const day = deck.id;
      await lab.ask('deck.watch', { day, path: deck.folder });
      await swim(deck, 'P01-1');
      deck.drop('traces/P01-1.csv');
      deck.drop('video/P01-1-A.mp4');
      deck.drop('video/P01-1-B.webm');
      const { files } = await deck.until(
        (view) => view.files.filter(({ state }) => state === 'placed').length === 3,
      );
      const film = files.find(({ kind }) => kind === 'film')!;
      const trace = files.find(({ kind }) => kind === 'trace')!;
      const { id: session } = await lab.ask('blind.start', {
        day,
        rater: 'R9',
        seed: 's',
        trials: ['P01-1'],
      });
      const path = `/film/${day}/blind~${session}~1/A`;
      expect(await lab.lab.resource(path)).not.toBeNull();
      const consents = { measuring: 'given', filming: 'withheld', sharing: 'given' } as const;
      await deck.act({ act: 'swimmer.change', participant: 'P01', swimmer: swimmer('P01', { consents }) });
      for (const camera of ['A', 'B'])
        for (const trial of ['P01-1', `blind~${session}~1`, 'dry-run'])
          expect(await lab.lab.resource(`/film/${day}/${trial}/${camera}`)).toBeNull();
      const blind = await lab.ask('blind.get', { session, item: 1 });
      const told = await lab.ask('trials.get', { day, trial: 'P01-1' });
      expect([blind.films, told.films]).toEqual([[], []]);
      expect(
        JSON.stringify([told.inputs, await lab.ask('deck.arrival', { day, trial: 'P01-1' })]),
      ).not.toMatch(/frameTimesS":\[\d|video\//);
      const give = (file: number, to: FileTarget) =>
        lab.fault('deck.act', { day, act: { act: 'file.give', file, to, why: 'x' } });
      const as = (kind: 'trace' | 'film'): FileTarget => ({ trial: 'P01-1', as: kind, camera: null });
      expect((await give(film.id, as('trace'))).says).toContain('film by its ending');
      expect((await give(trace.id, as('film'))).says).toContain('trace of the sensors by its ending');
      expect((await give(film.id + 1000, as('film'))).says).toContain('came in for this day');
      await lab.ask('places.allow', { path: place });
      await lab.ask('days.export', { day, path: join(place, 'out'), films: 'all' });
      expect(readdirSync(join(place, 'out'))).not.toContain('video');
    },
  );
});
