/** The dry run in words: what a file of it is called, whether flashes and taps meet, what is confirmed. */
import { MAIN_CAMERA } from '../../../core/clock/clock.ts';
import { HANDS } from '../../../core/base/hand.ts';
import { DRY_RUN } from '../../../core/deck/deck.ts';
import type { ClockMeeting, DryRunReport } from '../../../core/deck/dryrun.ts';
import { counted, formatValue } from '../../format.ts';

/** An example of a name that the day's patterns give to the dry run; the plain code where none takes a trial. */
export function dryName(patterns: readonly string[]): string {
  const pattern = patterns.find((one) => one.includes('{trial}'));
  return pattern === undefined
    ? DRY_RUN
    : pattern
        .replace('{trial}', DRY_RUN)
        .replace('{camera}', MAIN_CAMERA)
        .replaceAll(/\{\w+\}/g, '1');
}

/** True where nothing of the dry run speaks against beginning. */
export function isWell(report: DryRunReport | null): boolean {
  return report !== null && HANDS.every((hand) => report.hands[hand].alive) && report.channelsRight === true;
}

/** How many flashes and taps there are, and whether by them the clocks meet. */
export function meetingSentence(
  flashesS: readonly number[],
  tapsS: readonly number[],
  stepS: number,
  meeting: ClockMeeting | null,
): string {
  const found = `${counted(flashesS.length, 'flash', 'flashes')} found in the film, each known to ${formatValue(stepS, 's')}; ${counted(tapsS.length, 'tap')} on the trace.`;
  return meeting === null ? found : `${found} ${meeting.says}`;
}

/** What is confirmed, before a person writes it otherwise. */
export function dryRunSays(report: DryRunReport | null, meeting: ClockMeeting | null): string {
  if (report === null) return '';
  const dead = HANDS.filter((hand) => !report.hands[hand].alive);
  const alive = dead.length === 0 ? 'Both sensors alive' : `Not alive: the ${dead.join(' and the ')} sensor`;
  const round =
    report.channelsRight === null
      ? 'channels not told apart'
      : report.channelsRight
        ? 'right hand on the right channel'
        : 'channels the wrong way round';
  const clocks =
    meeting === null || meeting.meet === null
      ? 'clocks not compared'
      : meeting.meet
        ? 'clocks meet'
        : 'clocks do not meet';
  return `${alive}, ${round}, ${clocks}.`;
}
