/** A running testing day in the lab of a journey, for what is looked at and not acted on: everything is invented. */
import { join } from 'node:path';
import { PROTOCOL_STARTERS } from '../../core/protocol/starters.ts';
import { SETUP, swimmer } from '../core/deck/build.ts';
import { Recorder } from './deckfiles.ts';
import { ask, DeckJourney } from './deckjourney.ts';
import type { Scene } from './journey.ts';

const { content } = PROTOCOL_STARTERS[0]!;

export const STAGED = {
  protocol: 'quay-sprint',
  title: content.name,
  day: 'quay-noon',
  trial: 'P01-1',
} as const;

/**
 * Begins a day with two swimmers, of whom one has swum: a verdict waits for its answer, one file for its place, one could
 * not be read. The lab must have the sample day, for its sensors.
 */
export async function stageDeck(scene: Scene): Promise<DeckJourney> {
  const files = { ...content.files, left: 'L', right: 'R' };
  await ask(scene, 'protocols.draft', { protocol: STAGED.protocol, draft: { ...content, files } });
  await ask(scene, 'protocols.keep', { protocol: STAGED.protocol });
  const { day } = await ask(scene, 'deck.new', {
    day: STAGED.day,
    protocol: STAGED.protocol,
    version: 1,
    setup: { ...SETUP, files },
  });
  const act = (what: Parameters<typeof ask<'deck.act'>>[2]['act']) =>
    ask(scene, 'deck.act', { day, act: what });
  const hands = { leftHandAreaCm2: 142, rightHandAreaCm2: 144, handAreaUCm2: 2 };
  await act({ act: 'swimmers.add', swimmers: [swimmer('P01', hands), swimmer('P02', hands)] });
  await act({ act: 'sensor.wear', hand: 'left', sensor: 'S-01' });
  await act({ act: 'sensor.wear', hand: 'right', sensor: 'S-02' });
  for (const item of content.checklists.before)
    await act({ act: 'line.tick', list: 'before', item, initials: 'KL' });
  await act({ act: 'order.make', seed: 'noon' });
  await act({
    act: 'dry.confirm',
    initials: 'KL',
    says: 'Both sensors alive, right hand on the right channel.',
  });
  await act({ act: 'trial.begin', trial: STAGED.trial });
  await act({ act: 'trial.end', trial: STAGED.trial });
  await act({
    act: 'note.add',
    kind: 'note',
    trial: STAGED.trial,
    participant: 'P01',
    says: 'Breathed late',
  });

  const recorder = new Recorder(join(scene.place.person, 'incoming'));
  await ask(scene, 'deck.watch', { day, path: recorder.folder });
  recorder.drop('traces/P01-1.csv', `${STAGED.trial}.csv`);
  recorder.drop('video/P01-1-A.mp4', `${STAGED.trial}.mp4`);
  recorder.drop('video/P02-1.mp4', 'clip-0042.mp4');
  recorder.dropText('P02-1.csv', 'no trace\n');
  const deck = new DeckJourney(scene, day);
  await deck.until('the staged files', (view) => view.files.length === 4);
  return deck;
}
