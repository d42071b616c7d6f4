/** What a swimmer reads beside what is handed over to them. */
import { counted } from '../../../core/base/words.ts';
import type { DayOut } from './persondays.ts';

/** The README of the folder: what is in it, in plain words. */
export function personReadme(
  participant: string,
  days: readonly DayOut[],
  releases: readonly string[],
): string {
  const told = days.map(
    ({ day, date, trials, decisions, shown, lines }) =>
      `- ${day}${date === null ? '' : ` (${date})`}: ${counted(trials.length, 'trial')}, ${counted(decisions, 'decision')}.` +
      `${shown ? '' : ' Consent to be measured does not stand, so nothing is computed.'}` +
      lines.map((line) => ` ${line}`).join(''),
  );
  const frozen =
    releases.length === 0
      ? 'No frozen release holds you.'
      : `Frozen releases that hold you: ${releases.join(', ')}. A release is never altered; who no longer consents is left out whenever one is written out.`;
  return `# What this lab holds on ${participant}

All that the lab folder holds on the swimmer with this code, and nothing of anybody else: other swimmers are called "another" where a text names them. Calibrations of the sensors are the lab's and stand here because your numbers rest on them.

${told.join('\n')}

${frozen}

For each day, in days/DAY:

- day.json and the tables (CSV): your rows as the lab keeps them; earlier/ holds what an earlier state said
- traces/ and video/ (files/, where they have no place): your recordings as they came in
- results/: the numbers computed from them, each with its unit in results/*.csv's headings and its uncertainty beside it
- decisions.json: what people decided about you and your trials, who and when, also what was taken back
- plan-and-board.json, of days that were run with this program: your part of the plan and of the notes

person.json lists every file with its SHA-256.

A film may show other people in the water: look at it before you pass it on. What the numbers are not: a diagnosis, or a judgement on you.
`;
}
