/** The bench: sensors, drafts, calibrations kept and taken back, recordings, certificates. */
import { mkdir, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { addressOf } from '../../../../core/contract/addresses.ts';
import { DEFAULT_BENCH_LIMITS } from '../../../../core/sensor/limits.ts';
import { buildDay, swap, tempFolder } from '../../files/day-builder.ts';
import { benchLab, CARD, draftOf, goodPoints, point } from '../benchlab.ts';

describe('the register', () => {
  it('takes a sensor once, changes it where nobody has meanwhile, and takes both back', async () => {
    const { ask, fault } = await benchLab();
    expect(await ask('bench.get', {})).toMatchObject({ sensors: [], limits: DEFAULT_BENCH_LIMITS });
    await ask('sensors.save', { card: CARD, seen: null });
    expect((await fault('sensors.save', { card: CARD, seen: null })).code).toBe('changed_meanwhile');
    const rested = { ...CARD, state: 'resting', notes: 'tube replaced' } as const;
    await ask('sensors.save', { card: rested, seen: CARD });
    expect((await fault('sensors.save', { card: CARD, seen: CARD })).code).toBe('changed_meanwhile');
    expect((await ask('bench.get', {})).sensors.map(({ card }) => card)).toEqual([rested]);
    expect((await ask('bench.undo', {}))?.says).toBe('Register entry of sensor S-09 changed');
    expect((await ask('bench.get', {})).sensors[0]?.card).toEqual(CARD);
    await ask('bench.undo', {});
    expect((await ask('bench.get', {})).sensors).toEqual([]);
    expect(await ask('bench.undo', {})).toBeNull();
    await ask('bench.redo', {});
    expect(await ask('bench.get', {})).toMatchObject({ sensors: [{ card: CARD }], canRedo: true });
  });

  it('refuses raw limits the wrong way round', async () => {
    const { fault } = await benchLab();
    const upside = { ...CARD, rawMin: 10, rawMax: 10 };
    expect(await fault('sensors.save', { card: upside, seen: null })).toMatchObject({ code: 'bad_input' });
  });

  it('receives the sensors and calibrations of a day once, and again only where they changed', async () => {
    const { ask, bring } = await benchLab();
    const folder = await buildDay();
    await bring(folder);
    await bring(folder);
    const sensor = async () => (await ask('bench.get', {})).sensors[0]!;
    const first = await sensor();
    expect(first.card).toMatchObject({ sensor: 'S-01', hand: 'left', rangeKpa: 15, state: 'in_service' });
    expect(first.calibrations).toHaveLength(1);
    expect(first.calibrations[0]).toMatchObject({
      at: '2026-03-14T12:00:00.000Z',
      origin: { kind: 'day', day: 'small-day' },
      draft: { method: 'reference_gauge', waterTemperatureC: 27, latitudeDeg: 54.3 },
    });
    expect(first.history?.entries).toHaveLength(1);
    await buildDay({ 'calibration.csv': swap('S-01,4,up,15,kPa,62001', 'S-01,4,up,15,kPa,62002') }, folder);
    await bring(folder);
    const again = await sensor();
    expect(again.calibrations).toHaveLength(2);
    // The day has one calibration: the history counts the corrected one only.
    expect(again.history?.entries.map(({ id }) => id)).toEqual([String(again.calibrations[1]!.id)]);
    expect((await ask('bench.get', {})).canUndo).toBe(false);
  });
});

describe('a calibration', () => {
  it('by depth is assessed with the water’s density and local gravity', async () => {
    const { ask } = await benchLab();
    await ask('sensors.save', { card: CARD, seen: null });
    const place = { waterTemperatureC: 20, latitudeDeg: 45, altitudeM: 0, columnHeightM: 2.5 };
    const points = goodPoints(20_000, 'm_water');
    await ask('bench.draft', {
      sensor: 'S-09',
      draft: draftOf(points, { method: 'water_column', ...place }),
    });
    const { assessment } = await ask('bench.keep', { sensor: 'S-09' });
    const metre = assessment!.points[2]!.appliedKpa;
    // 998.2067 kg/m³ at 20 °C (Tanaka et al. 2001, table) × 9.80620 m/s² at 45° (GRS80, Moritz: 9.806199).
    expect(metre).toBeCloseTo((998.2067 * 9.806199) / 1000, 4);
    expect(assessment!.sensitivity.value).toBeCloseTo(20_000 / metre, 0);
  });

  it('of an earlier day stands at that day, and none is made on a day to come', async () => {
    const { ask, fault } = await benchLab();
    await ask('sensors.save', { card: CARD, seen: null });
    const keep = async (madeOn: string | null) => {
      await ask('bench.draft', { sensor: 'S-09', draft: draftOf(goodPoints(), { madeOn }) });
      return ask('bench.keep', { sensor: 'S-09' });
    };
    expect((await keep('2024-02-29')).at).toBe('2024-02-29T12:00:00.000Z');
    expect((await keep(null)).at > '2024-03').toBe(true);
    expect((await ask('bench.get', {})).sensors[0]!.calibrations).toHaveLength(2);
    await ask('bench.draft', { sensor: 'S-09', draft: draftOf(goodPoints(), { madeOn: '2999-01-01' }) });
    expect((await fault('bench.keep', { sensor: 'S-09' })).says).toContain('a day that is still to come');
  });

  it('is kept as it grows, judged when it is kept, and taken back into the draft', async () => {
    const { ask, fault, lab } = await benchLab();
    await ask('sensors.save', { card: CARD, seen: null });
    expect((await fault('bench.keep', { sensor: 'S-09' })).code).toBe('not_found');
    const draft = draftOf([...goodPoints(), point(2, 15000, { setAside: 'a bubble in the tube' })]);
    expect((await ask('bench.draft', { sensor: 'S-09', draft })).draft).toEqual(draft);
    const kept = await ask('bench.keep', { sensor: 'S-09' });
    expect(kept).toMatchObject({ origin: { kind: 'bench' }, version: '1.2.3', draft });
    // A set-aside point leaves a remark and takes no part.
    expect(kept.verdict?.verdict).toBe('remark');
    expect(kept.assessment?.pointCount).toBe(20);
    expect(kept.assessment?.sensitivity.value).toBeCloseTo(3000, -1);
    expect((await ask('bench.get', {})).sensors[0]).toMatchObject({ draft: null, calibrations: [kept] });
    expect((await ask('bench.undo', {}))?.says).toBe(
      'Calibration of sensor S-09 kept: accepted with a remark',
    );
    expect((await ask('bench.get', {})).sensors[0]).toMatchObject({ draft, calibrations: [], history: null });
    expect((await fault('calibrations.get', { id: kept.id })).code).toBe('not_found');
    expect(await lab.resource(addressOf('certificate', { calibration: kept.id, kind: 'html' }))).toBeNull();
    await ask('bench.redo', {});
    expect((await ask('bench.get', {})).sensors[0]).toMatchObject({ draft: null, calibrations: [kept] });
  });

  it('that is another sensitivity than its history is rejected, with what to do', async () => {
    const { ask } = await benchLab();
    await ask('sensors.save', { card: CARD, seen: null });
    const keep = async (perKpa: number) => {
      await ask('bench.draft', { sensor: 'S-09', draft: draftOf(goodPoints(perKpa)) });
      return ask('bench.keep', { sensor: 'S-09' });
    };
    expect((await keep(3000)).verdict?.verdict).toBe('accepted');
    const changed = await keep(3150);
    expect(changed.verdict?.verdict).toBe('rejected');
    const finding = changed.verdict?.findings.find(({ limit }) => limit === 'sensitivityChangePct');
    expect(finding?.value).toBeCloseTo(5, 1);
    expect(finding?.todo).not.toBeNull();
    // A rejected one does not enter the history that the next is compared with.
    expect((await keep(3001)).verdict?.verdict).toBe('accepted');
    expect((await keep(300)).faults.map(({ code }) => code)).toContain('far_from_history');
  });

  it('keeps the limits it was judged by', async () => {
    const { ask } = await benchLab();
    await ask('sensors.save', { card: CARD, seen: null });
    await ask('bench.draft', { sensor: 'S-09', draft: draftOf(goodPoints()) });
    const { id } = await ask('bench.keep', { sensor: 'S-09' });
    const strict = { ...DEFAULT_BENCH_LIMITS, leastPoints: 50 };
    expect((await ask('bench.setLimits', { limits: strict })).limits).toEqual(strict);
    expect(await ask('calibrations.get', { id })).toMatchObject({
      limits: DEFAULT_BENCH_LIMITS,
      verdict: { verdict: 'accepted' },
    });
    await ask('bench.undo', {});
    expect((await ask('bench.get', {})).limits).toEqual(DEFAULT_BENCH_LIMITS);
  });

  it('without a point, or of depths in unknown water, is not kept', async () => {
    const { ask, fault } = await benchLab();
    await ask('sensors.save', { card: CARD, seen: null });
    const put = (draft: ReturnType<typeof draftOf>) => ask('bench.draft', { sensor: 'S-09', draft });
    await put(draftOf([point(1, 9000, { setAside: 'wrong gauge' })]));
    expect((await fault('bench.keep', { sensor: 'S-09' })).says).toContain('No point takes part');
    await put(draftOf(goodPoints(3000, 'm_water')));
    expect((await fault('bench.keep', { sensor: 'S-09' })).says).toContain('density');
    expect((await ask('bench.draft', { sensor: 'S-09', draft: null })).draft).toBeNull();
    expect((await fault('bench.draft', { sensor: 'S-10', draft: null })).code).toBe('not_found');
  });
});

describe('a certificate', () => {
  it('is a page by its path, and a PDF where the host prints', async () => {
    const pages: string[] = [];
    const { ask, lab } = await benchLab(async (html) => {
      pages.push(html);
      return Uint8Array.from([37, 80, 68, 70]);
    });
    await ask('sensors.save', { card: CARD, seen: null });
    await ask('bench.draft', { sensor: 'S-09', draft: draftOf(goodPoints()) });
    const { id } = await ask('bench.keep', { sensor: 'S-09' });
    const page = await lab.resource(addressOf('certificate', { calibration: id, kind: 'html' }));
    expect(page).toMatchObject({ kind: 'bytes', mime: 'text/html; charset=utf-8' });
    const html = page?.kind === 'bytes' ? new TextDecoder().decode(page.bytes) : '';
    expect(html).toContain(`Calibration ${id} of sensor S-09`);
    expect(await lab.resource(addressOf('certificate', { calibration: id, kind: 'pdf' }))).toMatchObject({
      mime: 'application/pdf',
    });
    expect(pages).toEqual([html]);
    expect(await lab.resource(addressOf('certificate', { calibration: id + 1, kind: 'pdf' }))).toBeNull();
    expect(pages).toHaveLength(1);
  });

  it('is no PDF where the host cannot print', async () => {
    const { lab, bring } = await benchLab();
    await bring(await buildDay());
    expect(await lab.resource(addressOf('certificate', { calibration: 1, kind: 'html' }))).not.toBeNull();
    expect(await lab.resource(addressOf('certificate', { calibration: 1, kind: 'pdf' }))).toBeNull();
  });
});

describe('a recording', () => {
  async function recorded(name: string, text: string | Uint8Array) {
    const made = await benchLab();
    const folder = join(await tempFolder(), 'bench');
    await mkdir(folder);
    const path = join(folder, name);
    await writeFile(path, text);
    await made.ask('places.allow', { path: folder });
    return { ...made, path };
  }

  it('of any dialect gives its columns as samples on one grid, gaps filled', async () => {
    const text = 'Zeit;S-09;S-10\n0;8000,5;1\n10;8001,5;2\n20;;3\n30;8003,5;4\n50;8005,5;6\n';
    const { ask, lab, path } = await recorded('up.csv', text);
    const view = await ask('bench.record', { path, time: { column: 'Zeit', unit: 'ms' } });
    expect(view).toMatchObject({ file: 'up.csv', columns: ['S-09', 'S-10'], startS: 0, count: 6 });
    expect(view.rateHz).toBeCloseTo(100, 9);
    const samples = async (column: number) => {
      const found = await lab.resource(addressOf('recording', { sha256: view.sha256, column }));
      return found?.kind === 'bytes' ? [...new Float64Array(found.bytes.buffer)] : null;
    };
    expect(await samples(0)).toEqual([8000.5, 8001.5, 8002.5, 8003.5, 8004.5, 8005.5]);
    expect(await samples(1)).toEqual([1, 2, 3, 4, 5, 6]);
    expect(await samples(2)).toBeNull();
    expect(await lab.resource(addressOf('recording', { sha256: '0'.repeat(64), column: 0 }))).toBeNull();
  });

  it('without a time column goes by its rate', async () => {
    const { ask, path } = await recorded('rate.csv', 'a,b\n1,2\n1,2\n1,3\n');
    const view = await ask('bench.record', { path, time: { rateHz: 50 } });
    expect(view).toMatchObject({ columns: ['a', 'b'], rateHz: 50, count: 3 });
  });

  it.each([
    ['no such time column', 't,raw\n0,1\n1,2\n', 'no column "time" for the time; its columns are "t", "raw"'],
    ['nothing but a header', 'time,raw\n', 'fewer than two samples'],
    ['words only', 'time,raw\n0,low\n1,high\n', 'holds no numbers|fewer than two samples'],
    ['no readings', 'time\n0\n1\n', 'no column besides'],
    ['an empty file', '', 'no header row'],
    ['no text', Uint8Array.from([0, 1, 2, 3, 0, 10]), 'no text'],
  ])('with %s is refused in a sentence', async (_what, text, says) => {
    const { fault, path } = await recorded('bad.csv', text);
    const error = await fault('bench.record', { path, time: { column: 'time', unit: 's' } });
    expect(error.code).toBe('bad_input');
    expect(error.says).toMatch(new RegExp(says));
  });

  it('lies in an allowed place, and is a file', async () => {
    const { fault, path } = await recorded('ok.csv', 'time,raw\n0,1\n1,2\n');
    const time = { column: 'time', unit: 's' } as const;
    const elsewhere = join(await tempFolder(), 'secret.csv');
    await writeFile(elsewhere, 'time,raw\n0,1\n1,2\n');
    expect((await fault('bench.record', { path: elsewhere, time })).code).toBe('place_not_allowed');
    expect((await fault('bench.record', { path: join(path, '..'), time })).code).toBe('not_found');
    expect((await fault('bench.record', { path: 'ok.csv', time })).code).toBe('not_found');
  });
});
