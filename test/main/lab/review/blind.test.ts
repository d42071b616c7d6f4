/** Second opinions: nothing tells whose trial it is, the day's log keeps every mark, agreement counts them once done. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeEach, describe, expect, it } from 'vitest';
import type { BlindTrial } from '../../../../core/contract/review.ts';
import type { MarkRow } from '../../../../core/marking/words.ts';
import { viewAgreement } from '../../../../main/lab/review/agreementview.ts';
import {
  closeBlind,
  editBlindJudgements,
  editBlindMarks,
  getBlind,
  listBlind,
  startBlind,
} from '../../../../main/lab/review/blind.ts';
import { historyOf, turnBack, viewTrial } from '../../../../main/lab/days/dayview.ts';
import { adjudicate, editMarks } from '../../../../main/lab/review/markedits.ts';
import { findResource } from '../../../../main/lab/resources.ts';
import { buildDay } from '../../files/day-builder.ts';
import { SAMPLE } from '../../cli/run.ts';
import { faultOf, testLab, valueOf, type TestLab } from '../support.ts';

let lab: TestLab;
let day: number;
const TRIALS = ['P01-1', 'P03-2', 'P06-2', 'P07-1'];

beforeEach(async () => {
  lab = await testLab();
  day = await lab.bring(SAMPLE);
}, 60_000);

const start = (rater = 'R3', trials: readonly string[] = TRIALS) =>
  startBlind(lab.session, { day, rater, seed: 'tide', trials });
const get = async (item: number) => valueOf(await getBlind(lab.session, 1, item));

/** The item that stands for a trial, found by what only a test knows: its trace. */
async function itemOf(trial: string): Promise<BlindTrial> {
  const { trace } = valueOf(await viewTrial(lab.session, day, trial));
  for (let item = 1; item <= TRIALS.length; item++) {
    const view = await get(item);
    if (JSON.stringify(view.trace) === JSON.stringify(trace)) return view;
  }
  throw new Error(`no item is ${trial}`);
}

describe('a second opinion', () => {
  it('is drawn from its seed, listed, and tells nothing of whose trial it is', async () => {
    const session = valueOf(await start());
    expect(session).toMatchObject({ id: 1, rater: 'R3', seed: 'tide', closed: false });
    expect(session.items.map(({ item, marks }) => [item, marks])).toEqual([
      [1, 0],
      [2, 0],
      [3, 0],
      [4, 0],
    ]);
    expect(valueOf(await listBlind(lab.session, day))).toEqual([session]);
    for (let item = 1; item <= 4; item++) {
      const view = await get(item);
      const { day: _day, ...told } = view;
      const text = JSON.stringify(told);
      expect(text).not.toMatch(/P0\d|S-0\d|R1|R2|"video\/|traces\//);
      for (const hidden of ['participant', 'condition', 'attempt', 'inputs', 'status'])
        expect(view).not.toHaveProperty(hidden);
      expect(view.marking).toMatchObject({ rater: 'R3', marks: [], judgements: [], raters: ['R3'] });
      expect(view.result.strokes).toEqual([]);
      expect(view.trial).toBe(`blind~1~${item}`);
    }
    expect((await get(2)).previousTrial).toBe('blind~1~1');
    expect((await get(4)).nextTrial).toBeNull();
  });

  it('has its film and samples under its token', async () => {
    valueOf(await start());
    const { trial } = await itemOf('P01-1');
    for (const path of ['film/1/*/A', 'film/1/*/B', 'samples/1/*/left', 'raw/1/*/right']) {
      const own = await findResource(lab.session, `/${path.replace('*', 'P01-1')}`);
      expect(own, path).not.toBeNull();
      expect(await findResource(lab.session, `/${path.replace('*', trial)}`), path).toEqual(own);
    }
    const raw = await findResource(lab.session, '/raw/1/P01-1/right');
    const { trace } = valueOf(await viewTrial(lab.session, day, 'P01-1'));
    const samples = raw?.kind === 'bytes' ? new Float64Array(raw.bytes.slice().buffer) : null;
    expect(samples).toHaveLength(trace!.count);
    // The first row of the right hand's column in the trace's file.
    const row = readFileSync(join(SAMPLE, 'traces/P01-1.csv'), 'utf8')
      .split('\n')
      .find((line) => /^0[.\d]*,/.test(line));
    expect(samples![0]).toBe(Number(row!.split(',')[2]));
    expect(await findResource(lab.session, '/film/1/blind~1~9/A')).toBeNull();
    expect(await findResource(lab.session, '/film/1/blind~2~1/A')).toBeNull();
  });

  it('keeps marks and judgements in the log, guarded like any others', async () => {
    valueOf(await start());
    const mark: MarkRow = {
      hand: 'left',
      stroke: 1,
      event: 'propulsion_start',
      timeS: 3,
      clock: 'trace',
      camera: null,
      uS: null,
      sharedUS: null,
    };
    const end: MarkRow = { ...mark, event: 'propulsion_end', timeS: 3.5 };
    const { item } = await itemOf('P01-1');
    const wish = { session: 1, item, seen: [], now: [mark, end], says: 'Two marks' };
    const after = valueOf(await editBlindMarks(lab.session, wish));
    expect(after.marking.marks).toEqual([mark, end]);
    expect(after.result.strokes).toHaveLength(1);
    expect(faultOf(await editBlindMarks(lab.session, wish))).toBe('changed_meanwhile');
    const backward = { ...wish, seen: wish.now, now: [mark, { ...end, timeS: 2 }] };
    expect(faultOf(await editBlindMarks(lab.session, backward))).toBe('bad_input');
    const judged = [
      { hand: 'left', stroke: 1, entryPosition: 'above', breath: null, exclusionReason: null },
    ] as const;
    const judgement = { session: 1, item, seen: [], now: judged, says: 'Above' };
    expect(valueOf(await editBlindJudgements(lab.session, judgement)).marking.judgements).toEqual(judged);
    const log = await historyOf(lab.session, day);
    expect(log).toHaveLength(3);
    expect(JSON.stringify(log.slice(1))).not.toMatch(/P0\d/);
    for (const entry of log) expect(entry.trial).toBeNull();
    await turnBack(lab.session, day, 'undo');
    await turnBack(lab.session, day, 'undo');
    expect((await get(item)).marking).toMatchObject({ marks: [], judgements: [] });
    await turnBack(lab.session, day, 'redo');
    expect((await get(item)).marking.marks).toEqual([mark, end]);
    expect(valueOf(await viewTrial(lab.session, day, 'P01-1')).marking.raters).toEqual(['R1']);
    lab.close();
    lab = await testLab(lab.home);
    expect((await get(item)).marking.marks).toEqual([mark, end]);
  });

  it('is refused to a rater who has marked a trial, and of trials that are not there', async () => {
    expect(faultOf(await start('R1'))).toBe('bad_input');
    valueOf(await start());
    expect(faultOf(await start())).toBe('bad_input');
    expect(faultOf(await start('R4', ['P08-1']))).toBe('not_found');
    expect(faultOf(await getBlind(lab.session, 1, 9))).toBe('not_found');
    expect(faultOf(await getBlind(lab.session, 7, 1))).toBe('not_found');
  });

  it('counts for agreement and can be reported once it is done, and stays as it was given', async () => {
    valueOf(await start());
    const { marking } = valueOf(await viewTrial(lab.session, day, 'P01-1'));
    const { item } = await itemOf('P01-1');
    const later = marking.marks.map((mark) =>
      mark.event === 'water_entry' ? { ...mark, timeS: mark.timeS - 0.02 } : mark,
    );
    const given = { session: 1, item, seen: [], now: later, says: 'All' };
    valueOf(await editBlindMarks(lab.session, given));
    const pairOf = async () =>
      valueOf(await viewAgreement(lab.session, day)).pairs.find(({ second }) => second === 'R3');
    expect(await pairOf()).toBeUndefined();
    expect(valueOf(await closeBlind(lab.session, 1)).closed).toBe(true);
    expect(faultOf(await editBlindMarks(lab.session, { ...given, seen: later, now: [] }))).toBe('bad_input');

    const pair = (await pairOf())!;
    expect(pair).toMatchObject({ first: 'R1', trials: ['P01-1'] });
    const of = (name: string) => pair.values.find((value) => value.name === name)!;
    // To the cameras' rates, which are not 1.
    expect(of('water entry').agreement!.bias.value).toBeCloseTo(-0.02, 4);
    expect(of('water entry').agreement!.typicalError).toBeCloseTo(0, 4);
    expect(of('propulsion start').agreement!.bias.value).toBe(0);

    const chosen = valueOf(
      await adjudicate(lab.session, { day, trial: 'P01-1', rater: 'R3', seen: 'R1', reason: 'clearer' }),
    );
    expect(chosen.marking).toMatchObject({ rater: 'R3', raters: ['R3', 'R1'] });
    const edited = chosen.marking.marks.slice(1);
    const edit = { day, trial: 'P01-1', seen: chosen.marking.marks, now: edited, says: 'x' };
    expect(valueOf(await editMarks(lab.session, edit)).marking.marks).toEqual(edited);
    expect((await get(item)).marking.marks).toEqual(later);
    expect(await pairOf()).toEqual(pair);
  });
});

it('leaves out a trial whose swimmer has withdrawn since, and keeps the numbers of the others', async () => {
  const folder = await buildDay();
  const id = await lab.bring(folder);
  const trials = ['T1', 'T2'];
  const { items } = valueOf(await startBlind(lab.session, { day: id, rater: 'R9', seed: 's', trials }));
  expect(items).toHaveLength(2);
  // Only T2 has moments on both clocks.
  const gone = valueOf(await getBlind(lab.session, 1, 1)).marking.pairs.length > 0 ? 1 : 2;
  const roster = (text: string) =>
    text.replace(/^(P02,.*),(?:given|assent_and_guardian),/m, (_, before: string) => `${before},withdrawn,`);
  await buildDay({ 'roster.csv': roster }, folder);
  await lab.bring(folder);
  const [session] = valueOf(await listBlind(lab.session, id));
  expect(session!.items.map(({ item }) => item)).toEqual([3 - gone]);
  expect(faultOf(await getBlind(lab.session, 1, gone))).toBe('not_found');
  for (const path of ['raw', 'samples'])
    expect(await findResource(lab.session, `/${path}/${id}/blind~1~${gone}/left`)).toBeNull();
  const left = valueOf(await getBlind(lab.session, 1, 3 - gone));
  expect([left.previousTrial, left.nextTrial]).toEqual([null, null]);
});

it('agreement of the sample day’s two raters: every event and quantity, and entry position', async () => {
  const { pairs, matching } = valueOf(await viewAgreement(lab.session, day));
  expect(matching).toMatch(/nearest.*half a stroke cycle/);
  expect(pairs).toHaveLength(1);
  const [pair] = pairs;
  expect(pair).toMatchObject({ first: 'R1', second: 'R2', trials: ['P01-2'] });
  const { values, entry } = pair!;
  expect(
    values.map(({ name, unit, agreement, reason }) => [name, unit, agreement?.n ?? null, reason === null]),
  ).toEqual([
    ['water entry', 's', 21, false],
    ['full reach', 's', 21, false],
    ['hand below shoulder', 's', 21, false],
    ['propulsion start', 's', 21, false],
    ['shoulder plane', 's', 21, false],
    ['propulsion end', 's', 21, false],
    ['water exit', 's', 21, false],
    ...values
      .slice(7)
      .map(({ name, unit, agreement, reason }) => [name, unit, agreement?.n ?? null, reason === null]),
  ]);
  const start = values.find(({ name }) => name === 'propulsion start')!.agreement!;
  // The raters of the invented day are a frame or two apart.
  expect(Math.abs(start.bias.value)).toBeLessThan(0.02);
  // One swimmer: how far another would differ is not known.
  expect(start).toMatchObject({ swimmers: 1, bias: { low: null, high: null } });
  expect(start.lowerLimit.value).toBeLessThan(start.bias.value);
  expect(start.icc21).toBeNull();
  const idc = values.find(({ name }) => name === 'index of coordination')!.agreement!;
  expect(idc.icc21!.value).toBeGreaterThan(-1);
  expect(idc.icc31!.value).toBeLessThanOrEqual(1);
  const trial = values.find(({ name }) => name === 'index of coordination of a trial')!;
  expect(trial).toMatchObject({ agreement: null, reason: expect.stringContaining('two values') as string });
  expect(entry!.n).toBeGreaterThan(15);
  expect(entry!.agreedPct).toBeGreaterThan(50);
  expect(entry!.kappa === null || entry!.kappa.value <= 1).toBe(true);
});
