/** Files that come to a small running day, for the tests of where they belong; everything invented. */
import type { DeckBoard, BoardTrial, FileTarget } from '../../../core/deck/deck.ts';
import { kindOf } from '../../../core/arrival/names.ts';
import type { ArrivedFile } from '../../../core/arrival/parts.ts';
import type { FilesOf } from '../../../core/arrival/facts.ts';
import { plannedTrial } from '../../../core/deck/order.ts';
import type { FileView } from '../../../core/deck/views.ts';

export const AT = '2026-03-02T09:30:00.000Z';

export const NAMES = ['{trial}', '{trial}_{camera}', '{any} {trial}', '{participant}-{any}-take{attempt}'];

export const CAMERAS = ['A', 'B'];

export function swim(participant: string, attempt: number, changed: Partial<BoardTrial> = {}): BoardTrial {
  return { ...plannedTrial(participant, attempt, null), ...changed };
}

export const swum = (participant: string, attempt: number, endedMs: number) =>
  swim(participant, attempt, { state: 'swum', beganMs: endedMs - 20_000, endedMs });

export const RUNS = [
  swum('P01', 1, 1_000_000),
  swum('P02', 1, 1_200_000),
  swim('P03', 1, { state: 'swimming', beganMs: 1_300_000 }),
  swim('P01', 2),
  swim('P02', 2),
];

export type Consents = FilesOf['swimmers'][number]['consents'];

export const YES: Consents = { measuring: 'given', filming: 'given', sharing: 'not_asked' };

export function about(consents: Readonly<Record<string, Partial<Consents>>> = {}): FilesOf {
  const swimmers = ['P01', 'P02', 'P03'].map((participant) => ({
    participant,
    consents: { ...YES, ...consents[participant] },
  }));
  return { names: NAMES, cameras: CAMERAS, swimmers, staleBefore: null };
}

export function arrived(id: number, name: string, changed: Partial<ArrivedFile> = {}): ArrivedFile {
  const sha256 = id.toString(16).padStart(64, '0');
  return {
    id,
    name,
    bytes: 10,
    at: AT,
    modified: AT,
    kind: kindOf(name),
    outcome: 'taken',
    reason: '',
    sha256,
    continues: null,
    ...changed,
  };
}

export function board(given: DeckBoard['given'] = [], swims: readonly BoardTrial[] = RUNS) {
  return { trials: swims, given };
}

export const give = (file: number, to: FileTarget | null, why = '') => ({ file, to, why });

export const trace = (trial: string): FileTarget => ({ trial, as: 'trace', camera: null });

export const film = (trial: string, camera = 'A'): FileTarget => ({ trial, as: 'film', camera });

export const states = (files: readonly FileView[]) => files.map(({ state }) => state);
