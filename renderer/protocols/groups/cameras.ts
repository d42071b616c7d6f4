/** Changes of the protocol's cameras; the camera that times the section is kept in step. */
import { MAIN_CAMERA } from '../../../core/clock/clock.ts';
import type { ProtocolContent } from '../../../core/protocol/content.ts';

type Camera = ProtocolContent['cameras'][number];
type Part = Pick<ProtocolContent, 'cameras' | 'timing'>;

const CODES = ['A', 'B', 'C', 'D', 'E', 'F', 'G', 'H'];

/** One camera more; it times the section where none does yet. */
export function withCamera({ cameras, timing }: Part): Part {
  const camera = CODES.find((code) => cameras.every((one) => one.camera !== code)) ?? MAIN_CAMERA;
  const frameRateHz = cameras.at(-1)?.frameRateHz ?? 50;
  return {
    cameras: [...cameras, { camera, frameRateHz, sees: '' }],
    timing: { ...timing, camera: timing.camera ?? camera },
  };
}

export function withCameraChanged({ cameras, timing }: Part, index: number, change: Partial<Camera>): Part {
  const before = cameras[index];
  const isTiming = before !== undefined && timing.camera === before.camera;
  return {
    cameras: cameras.map((one, k) => (k === index ? { ...one, ...change } : one)),
    timing: isTiming ? { ...timing, camera: change.camera ?? before.camera } : timing,
  };
}

export function withoutCamera({ cameras, timing }: Part, index: number): Part {
  const left = cameras.toSpliced(index, 1);
  const isTiming = cameras[index]?.camera === timing.camera;
  return { cameras: left, timing: isTiming ? { ...timing, camera: null } : timing };
}
