/** The trials of a testing day and their section times, as its log has them. */
import { largest } from '../base/extent.ts';
import type { ProtocolContent } from '../protocol/content.ts';
import type { DeckPlan, DeckBoard, BoardTrial } from '../deck/deck.ts';
import type { DeckTrialView } from '../deck/views.ts';
import { isShown } from '../deck/tables.ts';
import { paragraph } from './page.ts';
import { type Cell, table } from './html.ts';
import { VERDICT_WORDS } from '../trial/check.ts';
import { ANSWER_WORDS, NOT_GIVEN } from './words.ts';
import { durationText } from '../base/words.ts';

export interface TrialsSource {
  readonly protocol: { readonly content: ProtocolContent };
  readonly plan: DeckPlan;
  readonly board: DeckBoard;
  readonly trials: readonly DeckTrialView[];
  readonly clock: (instant: number | string) => string;
}

/** Every trial of the swimmers who consent; `shown` puts away sentences that name others. */
export function trialTable(source: TrialsSource, shown: (text: string) => string): string {
  const { plan, board, protocol, trials, clock } = source;
  const views = new Map(trials.map((view) => [view.trial, view]));
  const swims = board.trials.filter((swim) => isShown({ plan, board }, swim));
  if (swims.length === 0) return paragraph('No trial is on the board.');
  const rows = swims.map((swim): Cell[] => {
    const report = views.get(swim.trial)?.report ?? null;
    return [
      swim.repeatOf === null ? swim.trial : `${swim.trial}, repeats ${swim.repeatOf}`,
      swim.condition ?? '',
      swim.beganMs === null ? STATE_WORDS[swim.state] : clock(swim.beganMs),
      swim.endedMs === null ? '' : clock(swim.endedMs),
      restText(swim, swims, protocol.content.restMinS),
      wornText(swim),
      report === null ? '' : `${VERDICT_WORDS[report.verdict]}: ${shown(report.says)}`,
      answerText(swim, shown),
    ];
  });
  const head = ['Trial', 'Condition', 'Began', 'Ended', 'Rest before', 'Sensors', 'On arrival', 'Answer'];
  return table(head, rows);
}

const STATE_WORDS: Readonly<Record<BoardTrial['state'], string>> = {
  planned: 'not swum',
  swimming: 'being swum',
  swum: 'swum, time not noted',
  skipped: 'skipped',
};

/** Rest since the swimmer's trial before; empty where there is none. */
function restText(swim: BoardTrial, swims: readonly BoardTrial[], restMinS: number): string {
  const { participant, beganMs } = swim;
  if (beganMs === null) return '';
  const ends = swims.flatMap((other) =>
    other !== swim && other.participant === participant && other.endedMs !== null && other.endedMs <= beganMs
      ? [other.endedMs]
      : [],
  );
  if (ends.length === 0) return '';
  const restMs = beganMs - largest(ends);
  const short = restMs < 1000 * restMinS ? `, shorter than ${durationText(1000 * restMinS)}` : '';
  return `${durationText(restMs)}${short}`;
}

function wornText({ worn, handsSwapped }: BoardTrial): string {
  if (worn === null) return '';
  const [left, right] = handsSwapped ? [worn.right, worn.left] : [worn.left, worn.right];
  return `left ${left ?? 'none'}, right ${right ?? 'none'}${handsSwapped ? ' (put right: hands were swapped)' : ''}`;
}

function answerText(swim: BoardTrial, shown: (text: string) => string): string {
  const { stopped, clearedBy } = swim;
  const before = [
    clearedBy === null ? null : `swum on by the word of ${clearedBy}`,
    stopped === null ? null : `stopped: ${shown(stopped.says)}`,
    plainAnswer(swim, shown),
  ];
  return before.filter((part) => part !== null && part !== '').join('; ');
}

function plainAnswer({ state, answer, skippedWhy }: BoardTrial, shown: (text: string) => string): string {
  if (state === 'skipped') return `skipped${skippedWhy === '' ? '' : `: ${shown(skippedWhy)}`}`;
  if (answer === null) return state === 'swum' ? 'not answered' : '';
  return `${ANSWER_WORDS[answer.what]}${answer.reason === '' ? '' : `: ${shown(answer.reason)}`}`;
}

/** Section times of the swum trials, s on each trial's clock. */
export function sectionTable({ plan, board, trials }: TrialsSource): string {
  const swum = new Set(
    board.trials
      .filter((swim) => swim.state === 'swum' && isShown({ plan, board }, swim))
      .map(({ trial }) => trial),
  );
  const rows = trials
    .filter(({ trial }) => swum.has(trial))
    .map(({ trial, section }): Cell[] => {
      if (section === null) return [trial, 'not set', '', '', '', ''];
      const { startS, endS, method, uS } = section;
      return [
        trial,
        { number: seconds(startS) },
        { number: seconds(endS) },
        { number: seconds(endS - startS) },
        method ?? NOT_GIVEN,
        { number: uS === null ? NOT_GIVEN : `${uS} s` },
      ];
    });
  if (rows.length === 0) return paragraph('No trial was swum.');
  return table(
    [
      'Trial',
      { number: 'Start' },
      { number: 'End' },
      { number: 'Duration' },
      'Timed by',
      { number: 'Standard uncertainty of one time' },
    ],
    rows,
  );
}

function seconds(value: number): string {
  return `${value.toFixed(3).replace('-', '−')} s`;
}
