/** A calibration's verdict in words: the same on every screen and page, by whichever limits it was judged. */
import type { CalibrationVerdict } from './calibration.ts';

export interface VerdictWords {
  readonly sign: string;
  readonly says: string;
  readonly asksAttention: boolean;
}

export const CALIBRATION_WORDS: Readonly<Record<CalibrationVerdict, VerdictWords>> = {
  accepted: { sign: '✓', says: 'Accepted', asksAttention: false },
  remark: { sign: '?', says: 'Accepted with a remark', asksAttention: true },
  rejected: { sign: '✕', says: 'Rejected', asksAttention: true },
  not_fitted: { sign: '✕', says: 'No line fitted', asksAttention: true },
  missing: { sign: '✕', says: 'No calibration steps', asksAttention: true },
};
