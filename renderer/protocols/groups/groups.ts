/** The groups of the form, in their order; ids are those of their headings. */
import type { ProtocolContent } from '../../../core/protocol/content.ts';

export const GROUPS = [
  { id: 'swim', title: 'What is swum' },
  { id: 'expected', title: 'What is expected' },
  { id: 'section', title: 'Measured section' },
  { id: 'timing', title: 'Section timing' },
  { id: 'trials', title: 'Trials and their order' },
  { id: 'recording', title: 'Sensors, cameras and filter' },
  { id: 'measures', title: 'What is measured' },
  { id: 'accept', title: 'When a trial is good' },
  { id: 'checks', title: 'Checklists and consent' },
  { id: 'files', title: 'Files of the acquisition computer' },
  { id: 'swimmers', title: 'How many swimmers' },
] as const;
export type GroupId = (typeof GROUPS)[number]['id'];

export function titleOf(id: GroupId): string {
  return GROUPS.find((group) => group.id === id)!.title;
}

/** Where a field of the protocol is found on the form. */
export const GROUP_OF: Readonly<Record<keyof ProtocolContent, GroupId>> = {
  name: 'swim',
  stroke: 'swim',
  start: 'swim',
  poolLengthM: 'swim',
  runM: 'swim',
  expected: 'expected',
  sectionFromWallM: 'section',
  sectionUM: 'section',
  sectionPoints: 'section',
  timing: 'timing',
  markingUS: 'measures',
  tapOffsetMm: 'recording',
  speedVariationPct: 'section',
  attempts: 'trials',
  restMinS: 'trials',
  conditions: 'trials',
  order: 'trials',
  rateHz: 'recording',
  cameras: 'recording',
  filter: 'recording',
  measures: 'measures',
  accept: 'accept',
  checklists: 'checks',
  consentTextVersion: 'checks',
  files: 'files',
  comparison: 'swimmers',
};

/** Brings a group into sight and puts the focus on its heading. */
export function goToGroup(id: GroupId): void {
  const heading = document.getElementById(id);
  heading?.scrollIntoView({ block: 'start' });
  heading?.focus({ preventScroll: true });
}
