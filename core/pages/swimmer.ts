/**
 * A swimmer's page of a testing day, in words that a 14-year-old understands: own attempts side by side, the force of
 * both hands over the stroke, what may be worth trying with the coach, the cautions. Nobody is compared with anybody.
 * Means and standard uncertainties come from the trials as formats.md section 2 defines them.
 */
import { type Hand, HANDS } from '../base/hand.ts';
import { largest, smallest } from '../base/extent.ts';
import type { Measured } from '../base/uncertainty.ts';
import { minus } from '../base/words.ts';
import type { TrialResult } from '../trial/result.ts';
import { escapeHtml, table } from './html.ts';
import { list, pageHtml, paragraph, section } from './page.ts';

/** One attempt of the swimmer. */
export interface OwnAttempt {
  readonly trial: string;
  readonly attempt: number | null;
  readonly condition: string | null;
  readonly isExcluded: boolean;
  readonly result: TrialResult;
  /** Mean force of each hand at 0, 1, … 100 % of its stroke, N; null without. */
  readonly curves: Readonly<Record<Hand, readonly number[] | null>>;
}

export interface SwimmerPage {
  readonly participant: string;
  readonly day: string;
  readonly date: string | null;
  readonly attempts: readonly OwnAttempt[];
  /** A picture at full reach as a data address; null where there is none, or film or its sharing is not consented. */
  readonly picture: string | null;
}

/** The page as HTML that stands alone. */
export function swimmerPageHtml(page: SwimmerPage): string {
  const { participant, day, date, attempts, picture } = page;
  const shown = shownAttempt(attempts);
  return pageHtml({
    title: `Your sprints: ${participant}`,
    lead: `Test day ${day}${date === null ? '' : `, ${date}`}. This page is about you alone. Talk it over with your coach.`,
    parts: [
      section('Your swims', attemptsHtml(attempts)),
      ...(shown === null ? [] : [section('Your two hands', handsHtml(shown))]),
      ...(picture === null
        ? []
        : [
            section(
              'Your arm at full reach',
              `<p><img src="${escapeHtml(picture)}" alt="You, with one arm at full reach" style="max-width:100%"></p>`,
            ),
          ]),
      section('What you may try with your coach', list(triesOf(attempts))),
      section('Take care', `<div class="cautions">${list(CARE)}</div>`),
    ],
    isWide: false,
  });
}

/** The attempt whose curves are drawn: the first one that is kept and has any, a good one before others. */
function shownAttempt(attempts: readonly OwnAttempt[]): OwnAttempt | null {
  const drawn = attempts.filter((own) => !own.isExcluded && HANDS.some((hand) => own.curves[hand] !== null));
  return drawn.find(({ result }) => result.check.verdict === 'good') ?? drawn[0] ?? null;
}

const CARE = [
  'If your shoulder hurts, stop. Tell your coach or your parents.',
  'These numbers help you train. They do not say if you are well or ill. Ask a doctor about pain.',
  'Change one thing at a time. Try it slow first.',
  'Never swim on your own. A guard must be there.',
  'You may ask the lab at any time to delete your data. You need not say why.',
];

const ROWS: readonly (readonly [string, (result: TrialResult) => Measured | null, number])[] = [
  ['Speed, m/s', ({ velocity }) => velocity, 2],
  ['Strokes in a minute (one stroke is both arms)', ({ strokeRate }) => strokeRate, 1],
  ['How far one stroke takes you, m', ({ strokeLength }) => strokeLength, 2],
  ['Left hand, top force, N', ({ hands }) => hands.left.peakForce, 0],
  ['Right hand, top force, N', ({ hands }) => hands.right.peakForce, 0],
  ['Time your hand stays high at the front, s', ({ highHand }) => highHand, 2],
];

function attemptsHtml(attempts: readonly OwnAttempt[]): string {
  if (attempts.length === 0) return paragraph('There is no swim of yours on this day.');
  const head = [
    '',
    ...attempts.map(({ attempt, trial, condition }) => {
      const name = attempt === null ? trial : `Swim ${attempt}`;
      return condition === null ? name : `${name}, ${condition}`;
    }),
  ];
  const rows = ROWS.map(([name, of, places]) => [
    name,
    ...attempts.map(({ result }) => ({ number: measuredText(of(result), places) })),
  ]);
  const states = attempts.map(({ isExcluded, result }) =>
    isExcluded ? 'left out' : result.check.verdict === 'good' ? 'all is well' : 'look with care',
  );
  return [
    table(head, [...rows, ['Can we trust it?', ...states]]),
    paragraph(
      'The number after ± tells how sure we are. Two swims that are closer than that may be just the same. A line means that we could not work it out.',
    ),
    paragraph('N is short for newton. You need about one newton to lift an apple.'),
  ].join('');
}

/** A value with its uncertainty, to so many places at least as the value needs; a dash where there is none. */
function measuredText(measured: Measured | null, places: number): string {
  if (measured === null) return '—';
  const { value, u } = measured;
  const own = u !== null && u > 0 ? Math.min(3, Math.max(places, -Math.floor(Math.log10(u)))) : places;
  return minus(value.toFixed(own)) + (u === null ? '' : ` ± ${u.toFixed(own)}`);
}

function handsHtml({ curves, attempt, trial }: OwnAttempt): string {
  const name = attempt === null ? trial : `swim ${attempt}`;
  return [
    curvesSvg(curves),
    paragraph(
      `This is ${name}. The lines show how hard each hand pushes the water in one stroke. The solid line is your left hand. The dashed line is your right hand. Each line starts when the hand starts to push.`,
    ),
  ].join('');
}

const [WIDTH, HEIGHT, LEFT, BOTTOM] = [640, 260, 48, 36];

/** Both hands' curves as a drawing that prints without colour: left solid, right dashed. */
function curvesSvg(curves: OwnAttempt['curves']): string {
  const all = HANDS.flatMap((hand) => curves[hand] ?? []);
  const [low, high] = [Math.min(0, smallest(all)), Math.max(1, largest(all))];
  const x = (pct: number) => LEFT + ((WIDTH - LEFT - 20) * pct) / 100;
  const y = (force: number) => 8 + ((HEIGHT - BOTTOM - 8) * (high - force)) / (high - low);
  const lines = HANDS.flatMap((hand) => {
    const values = curves[hand];
    if (values === null) return [];
    const points = values.map((force, pct) => `${x(pct).toFixed(1)},${y(force).toFixed(1)}`).join(' ');
    const dash = hand === 'right' ? ' stroke-dasharray="7 5"' : '';
    return [`<polyline points="${points}" fill="none" stroke="#1f2a37" stroke-width="2"${dash}/>`];
  });
  const ticks = [0, 25, 50, 75, 100].map(
    (pct) => `<text x="${x(pct).toFixed(1)}" y="${HEIGHT - 18}" text-anchor="middle">${pct}</text>`,
  );
  const forces = [...new Set([...(y(low) - y(0) > 14 ? [low] : []), 0, high])].map(
    (force) =>
      `<text x="${LEFT - 6}" y="${(y(force) + 4).toFixed(1)}" text-anchor="end">${minus(force.toFixed(0))}</text>`,
  );
  return `<svg viewBox="0 0 ${WIDTH} ${HEIGHT}" role="img" aria-label="Force of both hands over one stroke" font-size="12">
<line x1="${LEFT}" y1="${y(0).toFixed(1)}" x2="${WIDTH - 20}" y2="${y(0).toFixed(1)}" stroke="#8a94a3"/>
<line x1="${LEFT}" y1="8" x2="${LEFT}" y2="${HEIGHT - BOTTOM}" stroke="#8a94a3"/>
${[...lines, ...ticks, ...forces].join('\n')}
<text x="${LEFT}" y="${HEIGHT - 3}">part of one stroke, %</text><text x="${LEFT + 4}" y="18">force, N</text>
</svg>`;
}

/** Larger than this many standard uncertainties is more than chance (common practice, no source). */
const SURE = 2;

/** What may be worth trying: only what is more than chance on an attempt that is kept. */
function triesOf(attempts: readonly OwnAttempt[]): readonly string[] {
  const kept = attempts.filter(
    ({ isExcluded, result }) => !isExcluded && result.check.verdict !== 'swim_again',
  );
  const found = (of: (result: TrialResult) => Measured | null, side: 1 | -1, least: number) =>
    kept.length > 0 &&
    kept.every(({ result }) => {
      const measured = of(result);
      if (measured?.u == null) return false;
      return side * measured.value > Math.max(least, SURE * measured.u);
    });
  // Read from force, propulsion starts later and ends earlier than on film: a rest between the arms may be that alone.
  const tries = [
    ...(found(({ forceSymmetry }) => forceSymmetry, 1, 10)
      ? ['Your right hand pushed harder than your left in each swim. Feel for the water with your left hand.']
      : []),
    ...(found(({ forceSymmetry }) => forceSymmetry, -1, 10)
      ? [
          'Your left hand pushed harder than your right in each swim. Feel for the water with your right hand.',
        ]
      : []),
    ...(found(({ idc, propulsionBasis }) => (propulsionBasis === 'video' ? idc : null), -1, 0)
      ? [
          'There was a short rest from one arm to the next. At a sprint you may try to start the next push sooner.',
        ]
      : []),
    ...(found(({ highHand }) => highHand, 1, 0.3)
      ? ['Your hand stayed high at the front for a while. You may try to let it sink sooner, then pull.']
      : []),
  ];
  if (kept.length === 0) return ['We have no swim that we can trust. Ask if you may swim once more.'];
  return tries.length > 0
    ? tries
    : ['Nothing stands out. Keep at it, and look at one more test with your coach.'];
}
