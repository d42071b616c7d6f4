/** Which calibration of a sensor is in force, and why a sensor cannot be put on. */
import type { KeptCalibration } from '../../../core/sensor/draft.ts';
import type { SensorView } from '../../../core/contract/bench.ts';
import { formatInstant } from '../../format.ts';
import { expandedText } from '../../sensors/estimates.ts';
import { latestOf } from '../../sensors/latest.ts';
import { rawUnitOf, verdictWords } from '../../sensors/words.ts';

/** True where the limits of the bench accepted it, with a remark or without. */
function isAccepted({ assessment, verdict }: KeptCalibration): boolean {
  return assessment !== null && verdict !== null && verdict.verdict !== 'rejected';
}

/** The latest accepted calibration; null where there is none. */
export function inForce({ calibrations }: SensorView): KeptCalibration | null {
  return latestOf(calibrations.filter(isAccepted));
}

/** Such as `14 Mar 2026, 09:05 · Accepted · 3651.5 ± 4.8 counts/kPa (95 %)`. */
export function calibrationText({ card }: SensorView, { at, verdict, assessment }: KeptCalibration): string {
  const sensitivity = expandedText(assessment?.sensitivity ?? null, `${rawUnitOf(card)}/kPa`);
  return `${formatInstant(at)} · ${verdictWords(verdict?.verdict ?? null).says} · ${sensitivity} (95\u00a0%)`;
}

/** What came after the calibration in force and was not accepted; null where nothing did. */
export function laterRejected(view: SensorView): string | null {
  const latest = latestOf(view.calibrations);
  return latest === null || isAccepted(latest) || inForce(view) === null
    ? null
    : `A later one, of ${formatInstant(latest.at)}, was not accepted: look before you trust this sensor.`;
}

/** Why a sensor without a calibration in force cannot be put on. */
export function whyNot({ calibrations }: SensorView): string {
  const latest = latestOf(calibrations);
  if (latest === null) return 'It has no calibration, so its raw values mean no pressure.';
  const broken = latest.verdict?.findings.find(({ held }) => held === 'no');
  const reason = latest.verdict === null ? 'no line could be laid through it.' : (broken?.says ?? '');
  return `Its latest calibration, of ${formatInstant(latest.at)}, was not accepted: ${reason}`;
}
