/** File names that a day's patterns would know, as examples. */
import { MAIN_CAMERA } from '../../../core/clock/clock.ts';
import type { FileHabits } from '../../../core/protocol/content.ts';

interface NameExample {
  readonly pattern: string;
  /** Names of a trace and of a film; null where the pattern tells a camera, so knows films only. */
  readonly trace: string | null;
  readonly film: string;
}

/** One example for each pattern. @param trial the trial that is written in; an invented one where there is none yet */
export function nameExamples(
  { names }: FileHabits,
  swim: { readonly trial: string; readonly participant: string; readonly attempt: number },
): readonly NameExample[] {
  return names.map((pattern) => {
    const name = pattern
      .replaceAll('{trial}', swim.trial)
      .replaceAll('{participant}', swim.participant)
      .replaceAll('{attempt}', String(swim.attempt))
      .replaceAll('{camera}', MAIN_CAMERA)
      .replaceAll('{any}', '0915');
    return {
      pattern,
      trace: pattern.includes('{camera}') ? null : `${name}.csv`,
      film: `${name}.mp4`,
    };
  });
}
