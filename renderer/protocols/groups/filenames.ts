/** How files are named: what a pattern's parts stand for, and what a name would be. */
import { MAIN_CAMERA } from '../../../core/clock/clock.ts';

const PARTS: Readonly<Record<string, string>> = {
  trial: 'S01-2',
  participant: 'S01',
  attempt: '2',
  camera: MAIN_CAMERA,
  any: '0417',
};
const PART = /\{([^{}]*)\}/g;

/** What a name would be by a pattern: that of the second trial of a swimmer S01; or why no file is told by it. */
export function patternWords(pattern: string): string {
  const parts = [...pattern.matchAll(PART)].map((found) => found[1]!.toLowerCase());
  const unknown = parts.find((name) => !Object.hasOwn(PARTS, name));
  const all = Object.keys(PARTS).map((name) => `{${name}}`);
  if (unknown !== undefined) return `! {${unknown}} stands for nothing; use ${all.join(', ')}.`;
  if (/[{}]/.test(pattern.replaceAll(PART, '')))
    return '! A bracket is not closed; write parts such as {trial}.';
  const isTold = parts.includes('trial') || (parts.includes('participant') && parts.includes('attempt'));
  const example = `Such as ${exampleName(pattern)}`;
  return isTold ? example : `${example}. ! It tells no trial: add {trial}, or {participant} and {attempt}.`;
}

function exampleName(pattern: string): string {
  const name = pattern.trim().replaceAll(PART, (_, part: string) => PARTS[part.toLowerCase()]!);
  return /\{camera\}/i.test(pattern) ? `${name}.mp4` : `${name}.csv or ${name}.mp4`;
}
