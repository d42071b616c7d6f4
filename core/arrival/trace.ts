/** A trial's trace as a whole: how long it is, how regularly it was sampled, whether the section lies in it. */
import { type SampledTrace, traceEndS } from '../force/trace.ts';
import type { Section } from '../stroke/stroke.ts';
import { type ArrivalFinding, finding } from './findings.ts';
import { seconds, figures, percent, counted } from '../base/words.ts';

/** Faster than expected by more than this, and the recording broke off (common practice, no source). */
export const SHORTEST_PART = 0.7;

/** Longer than so many times the expected swim and a pause, and it was left running (common practice, no source). */
const LONGEST_PART = 2;

const PAUSE_S = 30;

/** A rate further from the planned one was set wrong (common practice, no source). */
export const MOST_RATE_OFF = 0.01;

/** How long the run takes at the expected velocity, s; our own definition, a steady swim from the start of the run. */
export function expectedRunS(runM: number, velocityMS: number): number {
  return runM / velocityMS;
}

/** Length of the trace against the run, and the section within it. */
export function judgeDuration(
  trace: SampledTrace,
  runM: number,
  velocityMS: number,
  section: Section | null,
): readonly ArrivalFinding[] {
  const lastsS = traceEndS(trace) - trace.startS;
  const runS = expectedRunS(runM, velocityMS);
  const expected = `${runM} m at the expected ${velocityMS} m/s take ${seconds(runS)}`;
  const findings: ArrivalFinding[] = [];
  if (lastsS < SHORTEST_PART * runS)
    findings.push(
      finding(
        'duration',
        'swim_again',
        `The trace is ${seconds(lastsS)} long; ${expected}, and below ${seconds(SHORTEST_PART * runS)} the recording broke off or began late.`,
      ),
    );
  else if (lastsS > LONGEST_PART * runS + PAUSE_S)
    findings.push(
      finding(
        'duration',
        'look',
        `The trace is ${seconds(lastsS)} long; ${expected}, and above ${seconds(LONGEST_PART * runS + PAUSE_S)} it may hold more than one trial.`,
      ),
    );
  else findings.push(finding('duration', 'good', `${seconds(lastsS)} long; ${expected}.`));
  if (section !== null && (section.startS < trace.startS - 1e-9 || section.endS > traceEndS(trace) + 1e-9))
    findings.push(
      finding(
        'duration',
        'look',
        `The section from ${section.startS.toFixed(2)} s to ${section.endS.toFixed(2)} s leaves the trace, which goes from ${trace.startS.toFixed(2)} s to ${traceEndS(trace).toFixed(2)} s. Check the section times.`,
      ),
    );
  return findings;
}

/** Sampling rate against the planned one, its regularity, and rows that were refused. */
export function judgeSampling(
  trace: SampledTrace,
  plannedHz: number,
  refusedRows: number,
): readonly ArrivalFinding[] {
  const { rateHz } = trace;
  const rate = `${figures(rateHz, 4)} samples/s`;
  const findings: ArrivalFinding[] = [];
  const look = (says: string) => findings.push(finding('sampling', 'look', says));
  if (Math.abs(rateHz / plannedHz - 1) > MOST_RATE_OFF)
    look(
      `The trace has ${rate}; planned are ${figures(plannedHz, 4)} samples/s, and more than ${percent(MOST_RATE_OFF)} off is too far. Check the acquisition’s setting and the unit of the time column.`,
    );
  if (trace.resampled)
    look(
      `The times of the samples leave an even step of ${figures(1000 / rateHz)} ms by more than half a step; they were brought to it by straight lines.`,
    );
  if (refusedRows > 0)
    look(
      `${counted(refusedRows, 'row')} of the trace could not be used and ${refusedRows === 1 ? 'was' : 'were'} left out; they count as missing samples.`,
    );
  return findings.length > 0 ? findings : [finding('sampling', 'good', `${rate}, evenly spaced.`)];
}
