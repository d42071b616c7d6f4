/**
 * The day's log: what it tells, that it stands alone, and that nobody without consent is in it. Decimal prefixes: SI
 * Brochure (9th ed.), table 7: kilo is 1000. The rest is what was put in, told back.
 */
import { describe, expect, test } from 'vitest';
import { closeView } from '../../../core/deck/closing.ts';
import { dayLogHtml, type DayLogSource } from '../../../core/pages/daylog.ts';
import { bytesText, durationText } from '../../../core/base/words.ts';
import { namesWithheld } from '../../../core/deck/veil.ts';
import type { Deck } from '../../../core/deck/act.ts';
import type { DeckTrialView, FileView } from '../../../core/deck/views.ts';
import { PAGE_STYLE } from '../../../core/pages/page.ts';
import { after, newDeck, PROTOCOL, readyDeck, swimmer } from '../deck/build.ts';

const HASH = 'ab'.repeat(32);
const MINUTE = 60_000;

function view(trial: string, more: Partial<DeckTrialView> = {}): DeckTrialView {
  return { trial, trace: null, films: [], report: null, section: null, zerosRead: false, ...more };
}

function file(name: string, more: Partial<FileView> = {}): FileView & { readonly sha256: string | null } {
  return {
    id: 1,
    name,
    bytes: 1_400_000,
    at: '2026-03-14T09:00:00.000Z',
    kind: 'trace',
    state: 'placed',
    place: null,
    by: 'name',
    offers: [],
    says: '',
    sha256: HASH,
    ...more,
  };
}

/** Three runs: one kept, one to be repeated, one skipped; a note and an incident; a zero at each end. */
function swum(): Deck {
  return after(readyDeck(), [
    { act: 'trial.begin', trial: 'S1-1' },
    { act: 'trial.end', trial: 'S1-1' },
    { act: 'trial.answer', trial: 'S1-1', what: 'again', reason: 'strap <slipped>' },
    { act: 'trial.skip', trial: 'S2-1', why: 'late for the bus' },
    { act: 'note.add', kind: 'incident', trial: 'S1-1', participant: null, says: 'lane rope touched' },
    { act: 'day.zero', sensor: 'K-1', when: 'start', raw: 500 },
  ]);
}

function source(deck: Deck, more: Partial<DayLogSource> = {}): DayLogSource {
  const state = { protocol: { protocol: 'sprint', version: 3, content: PROTOCOL }, ...deck };
  const evidence = {
    trials: deck.board.trials.map(({ trial }) => view(trial)),
    files: [],
    knownPressures: [],
  };
  return {
    day: 'harbour-1',
    ...state,
    ...evidence,
    decisions: [],
    former: [],
    close: closeView({ ...state, ...evidence, lastBackup: null, lastVerification: null }),
    printed: { at: '2026-03-14T17:00:00.000Z', who: 'KL', version: '1.2.3' },
    clock: (instant) => `<${instant}>`,
    zone: 'local, UTC+01:00',
    ...more,
  };
}

const log = (deck: Deck, more?: Partial<DayLogSource>) => dayLogHtml(source(deck, more));

/** The section below a heading. */
function part(html: string, title: string): string {
  return html.split(`<h2>${title}</h2>`)[1]!.split('</section>')[0]!;
}

describe('the log tells', () => {
  test('the day, its protocol, and that it is no diagnosis', () => {
    const html = log(swum());
    for (const said of [
      'Log of testing day harbour-1',
      '2026-03-14',
      '20 m to the wall (sprint, version 3)',
      'front crawl, start: push off the wall, 20 m; measured from 10 m to 0 m before the finishing wall (head to hand); 2 attempts, at least 3 min 00 s of rest between.',
      'not a diagnosis',
      'Times are local, UTC+01:00',
      'Lanebench 1.2.3',
      'without a lifeguard',
      'isolated battery power',
      'shoulder pain',
    ])
      expect(html).toContain(said);
  });

  test('sensors with the calibration in force, ticks with initials and time, the dry run', () => {
    const html = log(swum());
    expect(part(html, 'Sensors')).toMatch(/K-1.*left.*15 kPa.*No\. 1 of .*accepted, 3 points/);
    const ticks = part(html, 'Checklists and dry run');
    expect(ticks).toMatch(/Lifeguard is here<\/td><td>KL/);
    expect(ticks).toMatch(/Sensors rinsed<\/td><td>not ticked/);
    expect(ticks).toContain('Dry run confirmed by KL');
  });

  test('every run in order, with times, rest, sensors, check, answer and reason', () => {
    const rested = after(
      swum(),
      [
        { act: 'trial.begin', trial: 'S1-2' },
        { act: 'trial.end', trial: 'S1-2' },
      ],
      // S1-1 ended at minute 1; this begins two and a half minutes after it.
      3.5 * MINUTE,
    );
    const html = log(rested, {
      trials: [view('S1-1', { report: { verdict: 'swim_again', says: 'Only 2 strokes.' } })],
    });
    const swims = part(html, 'Trials in their order');
    const rowOf = (trial: string) => swims.split('<tr>').find((row) => row.includes(`<td>${trial}`))!;
    expect(rowOf('S1-1')).toContain('left K-1, right K-2');
    expect(rowOf('S1-1')).toContain('Swim again: Only 2 strokes.');
    expect(rowOf('S1-1')).toContain('to be swum again: strap &lt;slipped&gt;');
    expect(rowOf('S2-1')).toContain('skipped: late for the bus');
    expect(rowOf('S1-2')).toContain('2 min 30 s, shorter than 3 min 00 s');
    expect(rowOf('S3-1')).toContain('not swum');
  });

  test('section times with method and uncertainty', () => {
    const section = { startS: 3.2, endS: 9.7, method: 'gate' as const, uS: 0.002 };
    const html = log(swum(), { trials: [view('S1-1', { section })] });
    const times = part(html, 'Section times');
    for (const said of ['3.200 s', '9.700 s', '6.500 s', 'gate', '0.002 s']) expect(times).toContain(said);
    expect(part(log(swum()), 'Section times')).toContain('not set');
  });

  test('files with their SHA-256 and place', () => {
    const place = { trial: 'S1-1', as: 'film', camera: 'A' } as const;
    const files = [
      file('S1-1.mp4', { place }),
      file('GX01.mp4', { state: 'offered', says: 'Nobody knows whose.', place: null }),
    ];
    const told = part(log(swum(), { files }), 'Files');
    expect(told).toContain(HASH);
    expect(told).toContain('film of camera A of S1-1');
    expect(told).toContain('1.4 MB');
    expect(told).toMatch(/GX01\.mp4.*no place yet.*Nobody knows whose\./);
  });

  test('decisions with who and when, and those taken back in words', () => {
    const decisions = [
      { at: 'T1', who: 'KL', says: 'Order made', trial: null, undone: null },
      { at: 'T2', who: 'MN', says: 'S1-1 kept', trial: 'S1-1', undone: { who: 'KL', at: 'T3' } },
    ];
    const told = part(log(swum(), { decisions }), 'Decisions');
    expect(told).toContain('taken back by KL at &lt;T3&gt;');
    expect(told.match(/<tr class="aside">/g)).toHaveLength(1);
    expect(log(swum(), { decisions })).toContain('KL, MN');
  });

  test('readings of the sensors at the end, what is missing, notes, backups', () => {
    const checks = [
      {
        sensor: 'K-1',
        zeroStartRaw: 500,
        zeroEndRaw: 540,
        zeroShiftKpa: -0.01,
        readings: [{ when: 'end' as const, appliedKpa: 5, readKpa: 5.02, errorKpa: 0.02 }],
        verdict: 'holds' as const,
        says: 'It held.',
      },
    ];
    const html = log(swum(), {
      knownPressures: checks,
      close: {
        counts: { planned: 6, swum: 1, kept: 0, again: 1, skipped: 1, withdrawn: 0 },
        missing: [{ says: 'S3-1 was not swum.', trial: 'S3-1' }],
        lastBackup: { says: '3 files, 1.4 GB, read back and equal.', at: 'T9' },
        lastVerification: null,
      },
    });
    expect(html).toContain('−0.010 kPa');
    expect(html).toContain('at the end 5 kPa put on, 5.020 kPa read, error 0.020 kPa');
    expect(part(html, 'What is missing')).toContain('S3-1 was not swum.');
    expect(part(html, 'Notes and incidents')).toMatch(/INCIDENT.*S1-1.*lane rope touched.*KL/);
    expect(part(html, 'Backup')).toContain('3 files, 1.4 GB, read back and equal.');
  });
});

describe('nobody who withdrew or does not consent is in it but as a count', () => {
  const withdrawn = after(swum(), [
    { act: 'note.add', kind: 'note', trial: null, participant: 'S1', says: 'cold' },
    { act: 'note.add', kind: 'note', trial: null, participant: null, says: 'Waited for s1 again.' },
    { act: 'trial.skip', trial: 'S3-1', why: 'swam beside S1-1' },
    { act: 'swimmer.withdraw', participant: 'S1' },
  ]);
  const html = log(withdrawn, {
    files: [
      file('S1-1.csv', { state: 'hidden' }),
      file('s1_warmup.csv', { state: 'offered' }),
      file('dry.csv', { state: 'twice', says: 'The same as S1-1.csv.' }),
      file('S12-1.csv', { state: 'offered', says: 'Nobody knows whose.' }),
    ],
    decisions: [
      { at: 'T1', who: 'KL', says: 'S1-1 begun', trial: 'S1-1', undone: null },
      { at: 'T2', who: 'KL', says: 'Marks moved', trial: 'S1-1', undone: null },
      { at: 'T3', who: 'KL', says: 'Swimmer OLD-1 changed', trial: null, undone: null },
      { at: 'T4', who: 'KL', says: 'A swimmer withdrew; their data is hidden', trial: null, undone: null },
    ],
    former: ['OLD-1'],
  });

  test('in no table, sentence or name, in no capitals', () => {
    expect(html).not.toMatch(/(?<![A-Za-z0-9])(S1|OLD-1)(?![A-Za-z0-9])/i);
    expect(html).not.toContain('Marks moved');
  });

  test('but the others stay, and what was left out is counted', () => {
    expect(html).toContain('1 swimmer withdrew or did not consent.');
    expect(html).toContain('S12-1.csv');
    expect(html).toContain('3 files about swimmers whose data are not shown: left out.');
    expect(html).toContain('3 decisions about swimmers');
    expect(html).toContain('3 notes about swimmers');
    expect(html).toContain('A swimmer withdrew; their data is hidden');
    expect(part(html, 'Trials in their order')).toContain('skipped: not shown: it names a swimmer');
  });

  test('also one whose consent is not there yet', () => {
    const consents = { measuring: 'missing', filming: 'given', sharing: 'given' } as const;
    const deck = after(swum(), [{ act: 'swimmers.add', swimmers: [swimmer('Z9', { consents })] }]);
    expect(log(deck)).not.toContain('Z9');
  });

  test('a code is found as a whole only', () => {
    const names = namesWithheld({ ...withdrawn.plan }, ['A.1']);
    for (const text of ['S1', 'film of S1-2', 's1_a.mp4', '(S1)', 'A.1']) expect(names(text)).toBe(true);
    for (const text of ['S10', 'XS1', 'S2-1', 'A-1', 'Ax1', '']) expect(names(text)).toBe(false);
  });
});

test('it stands alone, and what a person wrote stays text', () => {
  const deck = after(swum(), [
    {
      act: 'note.add',
      kind: 'note',
      trial: null,
      participant: null,
      says: '<script>alert(1)</script><img src=x>',
    },
  ]);
  const html = log(deck);
  expect(html).not.toMatch(/<script|<link|<img|<iframe|\bhref=|@import|url\(/i);
  expect(html).toContain('&lt;script&gt;');
  expect(html).toContain(`<style>${PAGE_STYLE}</style>`);
  expect(html).toContain('<html lang="en">');
  expect(html.match(/<h1>/g)).toHaveLength(1);
});

test('a day that has just begun is told as empty, not as zero', () => {
  const html = log(newDeck());
  for (const said of ['No swimmer who consents.', 'No trial is on the board.', 'No file came in.'])
    expect(html).toContain(said);
});

test.each([
  [0, '0 s'],
  [59_400, '59 s'],
  [59_600, '1 min 00 s'],
  [185_000, '3 min 05 s'],
  [3_665_000, '1 h 01 min 05 s'],
])('%d ms is %s', (ms, text) => expect(durationText(ms)).toBe(text));

test.each([
  [0, '0 B'],
  [999, '999 B'],
  [1000, '1 kB'],
  [999_600, '1 MB'],
  [1_400_000_000, '1.4 GB'],
  [2.5e15, '2500 TB'],
])('%d bytes are %s', (bytes, text) => expect(bytesText(bytes)).toBe(text));
