/** A calibration's verdict in words. */
import type { CalibrationVerdict } from '../../core/sensor/calibration.ts';

export interface CalibrationWords {
  readonly sign: string;
  readonly says: string;
  readonly asksAttention: boolean;
}

const WORDS: Readonly<Record<CalibrationVerdict, CalibrationWords>> = {
  accepted: { sign: '✓', says: 'within limits', asksAttention: false },
  remark: { sign: '?', says: 'not fully judged', asksAttention: true },
  rejected: { sign: '✕', says: 'beyond limits', asksAttention: true },
  not_fitted: { sign: '✕', says: 'no line fitted', asksAttention: true },
  missing: { sign: '✕', says: 'no calibration steps', asksAttention: true },
};

export function calibrationWords(verdict: CalibrationVerdict): CalibrationWords {
  return WORDS[verdict];
}
