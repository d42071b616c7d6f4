/** What the bench changes in a day: the rule for calibrations, zeros, hand areas, and the budget. */
import { describe, expect, it } from 'vitest';
import type { HandArea } from '../../../../core/force/handarea.ts';
import { buildDay, dayJson, swap } from '../../files/day-builder.ts';
import { benchLab, type BenchLab } from '../benchlab.ts';

const results = async ({ ask }: BenchLab, day: number) =>
  Promise.all(['T1', 'T2'].map(async (trial) => (await ask('trials.get', { day, trial })).result));

/** A day folder that brings another calibration of both sensors: so many raw/kPa, at a date. */
function calibrationDay(code: string, date: string, rawPerKpa: number) {
  const rows = ['S-01', 'S-02'].flatMap((sensor) =>
    [0, 5, 10, 15, 10, 5, 0].map(
      (kpa, i) =>
        `${sensor},${i + 1},${i < 4 ? 'up' : 'down'},${kpa},kPa,${8000 + rawPerKpa * kpa + (i % 2)}`,
    ),
  );
  return buildDay({
    'day.json': dayJson((day) => Object.assign(day, { day: code, date })),
    'calibration.csv': `sensor,step,direction,applied,applied_unit,raw\n${rows.join('\n')}\n`,
  });
}

describe('the rule for calibrations', () => {
  it('interpolated lies straight in time between the days, and force follows it', async () => {
    const lab = await benchLab();
    const { ask, bring } = lab;
    const day = await bring(await buildDay());
    await bring(await calibrationDay('before', '2026-03-01', 3560));
    await bring(await calibrationDay('after', '2026-04-01', 3640));
    const before = await results(lab, day);
    expect(await ask('choice.get', { day })).toMatchObject({ rule: 'day', sensors: [{ from: ['1'] }, {}] });
    const tried = await ask('choice.try', { day, rule: 'interpolated' });
    // Nothing is kept by trying.
    expect(await results(lab, day)).toEqual(before);
    // 13 of 31 days: 3560 + 80 × 13/31; the zeros were read, so force goes as 1/sensitivity. The odd count by which
    // the builder's readings leave the line is the same in each.
    const expected = 3600 / (3560 + (80 * 13) / 31);
    for (const { peakBeforeN, peakAfterN, changePct } of tried.changes) {
      expect(peakAfterN! / peakBeforeN!).toBeCloseTo(expected, 6);
      expect(changePct).toBeCloseTo(100 * (expected - 1), 4);
    }
    expect(tried.changes).toHaveLength(4);
    const kept = await ask('choice.keep', { day, rule: 'interpolated', seen: 'day' });
    expect(kept).toEqual(tried.choice);
    const [after] = await results(lab, day);
    expect(after!.hands.left.peakForce?.value).toBe(tried.changes[0]!.peakAfterN);
    const view = await ask('trials.get', { day, trial: 'T1' });
    expect(view.calibrations.left).toMatchObject({ from: kept.sensors[0]!.from, verdict: 'remark' });
    expect(view.calibrations.left?.from).toHaveLength(2);
    expect((await lab.fault('choice.keep', { day, rule: 'latest', seen: 'day' })).code).toBe(
      'changed_meanwhile',
    );
    expect((await ask('history.undo', { day }))?.says).toContain('Calibrations of this day');
    expect(await results(lab, day)).toEqual(before);
  });

  it('latest takes no rejected one, and says so where there is none', async () => {
    const lab = await benchLab();
    const { ask, bring } = lab;
    const broken = swap('S-01,3,up,10,kPa,44000', 'S-01,3,up,10,kPa,48000');
    const day = await bring(await buildDay({ 'calibration.csv': broken }));
    const own = await ask('trials.get', { day, trial: 'T1' });
    // The folder's own is used whatever its verdict, and the verdict is shown.
    expect(own.calibrations.left).toMatchObject({ verdict: 'rejected' });
    expect(own.result.hands.left.peakForce).not.toBeNull();
    await ask('choice.keep', { day, rule: 'latest', seen: 'day' });
    const latest = await ask('trials.get', { day, trial: 'T1' });
    expect(latest.calibrations.left).toMatchObject({ from: [], verdict: 'missing' });
    expect(latest.calibrations.left?.says).toContain('no accepted calibration');
    expect(latest.result.hands.left.peakForce).toBeNull();
    expect(latest.result.flags).toContain('no_calibration');
    // The other sensor's own calibration of the day is its latest accepted one: the same numbers.
    expect(latest.result.hands.right).toEqual(own.result.hands.right);
  });

  it('of a day without a date finds nothing before or after', async () => {
    const { ask, bring } = await benchLab();
    const day = await bring(await buildDay({ 'day.json': dayJson((json) => delete json['date']) }));
    const { choice } = await ask('choice.try', { day, rule: 'latest' });
    expect(choice.sensors[0]).toMatchObject({ from: [] });
    expect(choice.sensors[0]?.says).toContain('has no date');
  });
});

describe('zeros', () => {
  it('are listed per hand, confirmed, seen as confirmed, and taken back', async () => {
    const lab = await benchLab();
    const { ask, fault, bring } = lab;
    const day = await bring(await buildDay());
    const before = await results(lab, day);
    const { readings, limitKpa } = await ask('zeros.get', { day });
    expect(limitKpa).toBe(0.15);
    expect(readings.map(({ trial, hand }) => [trial, hand])).toEqual([
      ['T1', 'left'],
      ['T1', 'right'],
      ['T2', 'left'],
      ['T2', 'right'],
    ]);
    // 10 counts at 3600 counts/kPa.
    expect(readings[0]!.shiftKpa).toBeCloseTo(10 / 3600, 6);
    const wish = { day, trial: 'T1', sensor: 'S-01', when: 'after', raw: 8720, seen: 8010 } as const;
    expect((await fault('zeros.confirm', { ...wish, seen: 1 })).code).toBe('changed_meanwhile');
    expect((await fault('zeros.confirm', { ...wish, raw: -1 })).code).toBe('bad_input');
    expect((await fault('zeros.confirm', { ...wish, sensor: 'S-99' })).code).toBe('not_found');
    const [confirmed] = (await ask('zeros.confirm', wish)).readings;
    expect(confirmed).toMatchObject({
      after: 8720,
      beyond: true,
      origin: { before: 'file', after: 'confirmed' },
    });
    const [changed] = await results(lab, day);
    expect(changed!.hands.left.zeroShiftKpa).toBeCloseTo(0.2, 4);
    expect(changed!.hands.right).toEqual(before[0]!.hands.right);
    const [back] = (await ask('zeros.confirm', { ...wish, raw: null, seen: 8720 })).readings;
    expect(back).toMatchObject({ after: 8010, origin: { after: 'file' } });
    expect(await results(lab, day)).toEqual(before);
    await ask('history.undo', { day });
    expect((await ask('zeros.get', { day })).readings[0]).toMatchObject({ after: 8720 });
  });

  it('are proposed where the hand was still, and a filled gap is no still hand', async () => {
    const { ask, fault, bring } = await benchLab();
    const still = (shift: number) =>
      Array.from({ length: 800 }, (_, k) => {
        const raw = k < 300 ? 8100 + (k % 3) : 8000 + Math.round(9000 * Math.abs(Math.sin(k / 19)));
        return `${((k + shift) / 100).toFixed(2)},${k >= 600 ? '' : raw},${raw}`;
      });
    const day = await bring(await buildDay({ 'traces/T1.csv': `time,L,R\n${still(0).join('\n')}\n` }));
    const { start, end } = await ask('zeros.propose', { day, trial: 'T1', hand: 'left' });
    expect(start).toMatchObject({ where: 'start' });
    expect('mean' in start ? start.mean : NaN).toBeCloseTo(8101, 0);
    expect(end).toMatchObject({ code: 'nothing_quiet' });
    expect((await fault('zeros.propose', { day, trial: 'T9', hand: 'left' })).code).toBe('not_found');
  });
});

describe('hand areas', () => {
  const ESTIMATE: HandArea = {
    method: 'estimated',
    cm2: 150,
    uCm2: 15,
    scaleUCm2: null,
    repeatUCm2: null,
    planeUCm2: null,
    offsetUCm2: null,
    count: 1,
    says: 'Estimated from height and mass.',
  };

  it('are kept in place of the roster’s, and an estimate is seen wherever its force is', async () => {
    const lab = await benchLab();
    const { ask, fault, bring } = lab;
    const day = await bring(await buildDay());
    const before = await results(lab, day);
    const [left] = (await ask('areas.get', { day })).areas;
    expect(left).toMatchObject({
      participant: 'P01',
      hand: 'left',
      rosterCm2: 142,
      rosterUCm2: 2,
      kept: null,
      ageYears: 23,
    });
    const wish = { day, participant: 'P01', hand: 'left', area: ESTIMATE, seen: null } as const;
    const kept = await ask('areas.keep', wish);
    expect(kept.areas[0]?.kept).toEqual(ESTIMATE);
    expect((await fault('areas.keep', wish)).code).toBe('changed_meanwhile');
    const { result, areas } = await ask('trials.get', { day, trial: 'T1' });
    expect(areas).toMatchObject({
      left: { method: 'estimated', cm2: 150 },
      right: { method: 'roster', cm2: 144 },
    });
    expect(result.flags).toContain('area_estimated');
    expect(result.hands.left.peakForce!.value / before[0]!.hands.left.peakForce!.value).toBeCloseTo(
      150 / 142,
      12,
    );
    const [first, second] = (await ask('days.get', { day })).trials;
    expect(first).toMatchObject({ areas: { left: { method: 'estimated' } } });
    expect(second!.result.flags).not.toContain('area_estimated');
    await ask('history.undo', { day });
    expect(await results(lab, day)).toEqual(before);
  });

  it('that no hand has are refused, and those that few have are asked about', async () => {
    const { ask, fault, bring } = await benchLab();
    const day = await bring(await buildDay());
    const typed = (cm2: number) => ({ ...ESTIMATE, method: 'typed', cm2 }) as const;
    const wish = { day, participant: 'P01', hand: 'left', seen: null } as const;
    const refused = await fault('areas.keep', { ...wish, area: typed(17_400), sure: true });
    expect(refused.says).toContain('Are these mm²?');
    expect((await fault('areas.keep', { ...wish, area: typed(300) })).says).toContain('unusual');
    expect((await ask('areas.keep', { ...wish, area: typed(300), sure: true })).areas[0]?.kept?.cm2).toBe(
      300,
    );
  });

  it('of children are measured, not estimated', async () => {
    const { ask, fault, bring } = await benchLab();
    const day = await bring(await buildDay({ 'roster.csv': swap('female,2003', 'female,2010') }));
    const wish = { day, participant: 'P01', hand: 'left', area: ESTIMATE, seen: null } as const;
    expect((await fault('areas.keep', wish)).says).toContain('16 years old');
    const measured = { ...ESTIMATE, method: 'typed' } as const;
    expect((await ask('areas.keep', { ...wish, area: measured })).areas[0]?.kept).toEqual(measured);
  });
});

describe('the budget of a force', () => {
  it('has every source with its share, from what the trial rests on', async () => {
    const { ask, bring } = await benchLab();
    const day = await bring(await buildDay());
    const { budget, fault, areaSays, calibrationSays } = await ask('trials.budget', {
      day,
      trial: 'T1',
      hand: 'left',
      forceN: 100,
    });
    expect(fault).toBeNull();
    const part = (source: string) => budget!.parts.find((one) => one.source === source)!;
    // 2 cm² of 142 cm² at 100 N; 10 mm of water ≈ 98 Pa (rectangular, /√3) on 142 cm² (common practice, no source).
    expect(part('area').uN).toBeCloseTo((100 * 2) / 142, 9);
    expect(part('tap_depth').uN).toBeCloseTo((0.098 / Math.sqrt(3)) * 14.2, 2);
    expect(budget!.parts.reduce((sum, { sharePct }) => sum + sharePct, 0)).toBeCloseTo(100, 9);
    const squares = budget!.parts.reduce((sum, { uN }) => sum + uN * uN, 0);
    expect(budget!.total.uN).toBeCloseTo(Math.sqrt(squares), 9);
    expect(budget!.withFittedZero).toBeNull();
    const peak = (await ask('trials.get', { day, trial: 'T1' })).result.strokes.find(
      ({ stroke, peakForce }) => stroke.hand === 'left' && peakForce !== null,
    )!.peakForce!;
    const own = await ask('trials.budget', { day, trial: 'T1', hand: 'left', forceN: peak.value });
    expect(own.budget!.total.uN).toBeCloseTo(peak.u!, 9);
    expect(areaSays).toContain('roster.csv');
    expect(calibrationSays).toContain('day folder');
  });

  it('with the calibration’s zero has a second total, with what the fit leaves of it', async () => {
    const { ask, bring } = await benchLab();
    const day = await bring(await buildDay({ 'zeros.csv': null }));
    const { budget } = await ask('trials.budget', { day, trial: 'T1', hand: 'left', forceN: 100 });
    expect(budget!.withFittedZero!.uN).not.toBe(budget!.total.uN);
  });

  it.each([
    [
      'a second zero reading and the limit',
      {
        'zeros.csv': null,
        'day.json': dayJson(({ protocol }) => (protocol['accept'] = {})),
      },
      'max_zero_shift_kpa',
    ],
    [
      'the area’s uncertainty',
      { 'roster.csv': swap('142,144,2,', '142,144,,') },
      'uncertainty of the hand area',
    ],
    ['the area', { 'roster.csv': swap('142,144,2,', ',144,2,') }, 'area of this hand is not known'],
    ['the calibration', { 'calibration.csv': null }, 'no calibration'],
  ])('that lacks %s says so', async (_what, edits, says) => {
    const { ask, bring } = await benchLab();
    const day = await bring(await buildDay(edits));
    const view = await ask('trials.budget', { day, trial: 'T1', hand: 'left', forceN: 100 });
    expect(view.budget).toBeNull();
    expect(view.fault).toContain(says);
  });
});
