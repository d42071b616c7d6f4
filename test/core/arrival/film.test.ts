/** Films of a trial on arrival. Frame rates: 50 /s, and 60000/1001 /s (SMPTE; 59.94 to two decimals). */
import { describe, expect, test } from 'vitest';
import type { ArrivalFilm } from '../../../core/arrival/film.ts';
import { judgeFilms, type ToFilm } from '../../../core/arrival/film.ts';

const A = { camera: 'A', frameRateHz: 50 };
const B = { camera: 'B', frameRateHz: 59.94 };
const TO_HOLD: ToFilm = {
  trace: { startS: 0, endS: 14 },
  section: { startS: 7.5, endS: 13.5 },
  leastS: 8.2,
  sectionLeastS: 4.1,
};
const SAME = { offsetS: 0, rate: 1, residualS: null, pairs: 1 };

function frames(seconds: number, rateHz: number): number[] {
  return Array.from({ length: Math.round(seconds * rateHz) }, (_, k) => k / rateHz);
}

function film(change: Partial<ArrivalFilm> = {}): ArrivalFilm {
  return { camera: 'A', file: 'a.mp4', frameTimesS: frames(15, 50), fault: null, clock: null, ...change };
}

function judged(films: readonly ArrivalFilm[], cameras = [A], toHold = TO_HOLD, mayStillCome = false) {
  const found = judgeFilms(films, cameras, toHold, mayStillCome);
  return {
    bad: found.filter(({ verdict }) => verdict !== 'good').map(({ verdict, about }) => `${verdict} ${about}`),
    says: found.map(({ says }) => says).join(' '),
    found,
  };
}

test('a film as planned is good; that it holds the trace is claimed only where the clock is known', () => {
  expect(judged([film()]).bad).toEqual([]);
  expect(judged([film()]).says).toMatch(/50\.00 frames\/s, as planned.*once both clocks are joined/);
  expect(judged([film({ clock: SAME })]).says).toMatch(/Camera A holds the whole trace/);
});

describe('missing and unreadable', () => {
  test('a planned camera without a film is looked at; one that may still come says so', () => {
    expect(judged([])).toMatchObject({
      bad: ['look film'],
      says: expect.stringMatching(/no film of camera A/),
    });
    expect(judged([], [A], TO_HOLD, true).says).toMatch(/has not come yet/);
    expect(judged([], []).bad).toEqual([]);
  });

  test('a fault is passed on; a film of one frame is none', () => {
    const fault = 'a.mp4 was cut short: its last frame is missing; copy it again.';
    expect(judged([film({ frameTimesS: [], fault })]).says).toContain(fault);
    expect(judged([film({ frameTimesS: [0] })])).toMatchObject({ bad: ['look film'] });
  });
});

describe('frame rate', () => {
  test('more than 1 % off the plan names both', () => {
    const off = judged([film({ frameTimesS: frames(15, 60000 / 1001) })]);
    expect(off.bad).toEqual(['look frame_rate']);
    expect(off.says).toMatch(/59\.94 frames\/s; planned are 50 frames\/s/);
    expect(judged([film({ frameTimesS: frames(15, 50.4) })]).bad).toEqual([]);
    expect(judged([film({ frameTimesS: frames(15, 50.6) })]).bad).toEqual(['look frame_rate']);
  });

  test('times that a container rounds to 1 ms do not pass for another rate', () => {
    const rounded = frames(15, 60000 / 1001).map((timeS) => Math.round(1000 * timeS) / 1000);
    const found = judged([film({ camera: 'B', frameTimesS: rounded })], [B], { ...TO_HOLD, section: null });
    expect(found.bad).toEqual([]);
    expect(found.says).toMatch(/59\.94 frames\/s, as planned/);
  });

  test('lost frames are counted, and shown on the trace where the clock is known', () => {
    const times = frames(15, 50).filter((_, k) => k !== 100 && k !== 300 && k !== 301);
    const lost = judged([film({ frameTimesS: times, clock: { ...SAME, offsetS: -0.5 } })]);
    expect(lost.bad).toEqual(['look frame_rate']);
    expect(lost.says).toMatch(
      /lost frames at 2 places: the longest interval is 60 ms at 5\.98 s of the film/,
    );
    const finding = lost.found.find(({ verdict }) => verdict === 'look')!;
    expect(finding.startS).toBeCloseTo(5.48, 9);
    expect(finding.endS).toBeCloseTo(5.54, 9);
    expect(
      judged([film({ frameTimesS: times })]).found.find(({ verdict }) => verdict === 'look')!.startS,
    ).toBeNull();
  });

  test('a camera that is not planned is told, not judged', () => {
    const found = judged([film({ camera: 'C' })], []);
    expect(found.bad).toEqual([]);
    expect(found.says).toMatch(/does not plan this camera/);
  });
});

describe('coverage', () => {
  test('too short for the trace, whatever the clock', () => {
    const short = judged([film({ frameTimesS: frames(13.9, 50) })]);
    expect(short.bad).toEqual(['look coverage']);
    expect(short.says).toMatch(/13\.90 s, less than the 14\.00 s of the trace/);
    expect(judged([film({ frameTimesS: frames(13.98, 50) })]).bad).toEqual([]);
  });

  test('with the clock, exactly: begins late or ends early, and whether the section is in it', () => {
    const late = judged([film({ clock: { ...SAME, offsetS: 0.15 } })]);
    expect(late.bad).toEqual(['look coverage']);
    expect(late.says).toMatch(/begins 0\.15 s after its start\. The section is in the picture/);
    expect(late.found.at(-1)).toMatchObject({ startS: 0, endS: 0.15 });
    const early = judged([film({ clock: { ...SAME, offsetS: -2 } })]);
    expect(early.says).toMatch(/ends 1\.00 s before its end\.$/);
    expect(early.found.at(-1)).toMatchObject({ startS: 13, endS: 14 });
  });

  test('a further camera must hold the section, not the whole trace', () => {
    const wall = (change: Partial<ArrivalFilm>) =>
      judged([film({ camera: 'B', frameTimesS: frames(8, 59.94), ...change })], [B]);
    expect(wall({ clock: { ...SAME, offsetS: 6.3 } }).bad).toEqual([]);
    expect(wall({ clock: { ...SAME, offsetS: 8 } }).bad).toEqual(['look coverage']);
    expect(wall({}).bad).toEqual([]);
    expect(wall({ frameTimesS: frames(5, 59.94) }).bad).toEqual(['look coverage']);
  });

  test('without a trace or a section, the film lasts as long as a fast swim at least', () => {
    const alone = { ...TO_HOLD, trace: null, section: null };
    expect(judged([film()], [A], alone).bad).toEqual([]);
    expect(judged([film({ frameTimesS: frames(8, 50) })], [A], alone).bad).toEqual(['look coverage']);
    const brief = film({ camera: 'B', frameTimesS: frames(4, 59.94) });
    expect(judged([brief], [B], alone)).toMatchObject({ bad: ['look coverage'] });
  });
});
