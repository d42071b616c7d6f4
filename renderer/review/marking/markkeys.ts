/** The keys of marking: the number row marks, the letters around it choose, move and judge. All can be changed. */
import { EVENTS, eventWords } from '../../../core/stroke/stroke.ts';
import type { KeyAction } from '../../keys.svelte.ts';
import { BREATHS, ENTRY_POSITIONS } from './judging.ts';
import type { Marking } from './marking.svelte.ts';

type Line = readonly [id: string, key: string, label: string, run: () => void];

/** Steps of a mark that Shift takes at once. */
const FAR = 10;

const ENTRY_KEYS = ['8', '9', '0'] as const;
const BREATH_KEYS = ['U', 'I', 'O'] as const;

/** The actions of marking; they act while marking is on, but for the one that turns it on. */
export function markKeys(marking: Marking): readonly KeyAction[] {
  const { desk, judge, proposals, section } = marking;
  const group = (name: string, lines: readonly Line[], when = () => marking.on): readonly KeyAction[] =>
    lines.map(([id, key, label, run]) => ({ id: `mark.${id}`, key, label, group: name, run, when }));
  return [
    ...group('Marking', [['on', 'Q', 'Marking on or off', () => marking.toggle()]], () => true),
    ...group('Marking', [
      ...EVENTS.map((event, index): Line => [
        event,
        String(index + 1),
        `Mark ${eventWords(event)}`,
        () => desk.place(event),
      ]),
      ['expected', ';', 'Go to where the next mark is expected', () => desk.goToExpected()],
      ['advance', 'Shift+T', 'Go on by itself after a mark, or stay', () => desk.advance.turn()],
      ['arm', 'H', 'The other arm', () => desk.otherArm()],
      ['clock', 'T', 'Marks go on the film or on the trace', () => desk.otherClock()],
    ]),
    ...group('Marking: the chosen mark', [
      ['choose-next', ']', 'Choose the next mark', () => desk.chooseNext(1)],
      ['choose-before', '[', 'Choose the mark before', () => desk.chooseNext(-1)],
      ['on-step', 'D', 'Mark one frame or sample on', () => desk.nudge(1)],
      ['back-step', 'A', 'Mark one frame or sample back', () => desk.nudge(-1)],
      ['on-far', 'Shift+D', 'Mark ten frames or samples on', () => desk.nudge(FAR)],
      ['back-far', 'Shift+A', 'Mark ten frames or samples back', () => desk.nudge(-FAR)],
      ['type', 'W', 'Type the mark’s time', () => desk.askTime()],
      ['unsure', '=', 'Call the mark unsure, or sure again', () => desk.turnUnsure()],
      ['remove', 'Delete', 'Remove the mark', () => desk.remove()],
    ]),
    ...group('Marking: proposals from force', [
      ['proposal-next', 'P', 'Next proposal', () => proposals.step(1)],
      ['proposal-before', 'Shift+P', 'Proposal before', () => proposals.step(-1)],
      ['take', 'G', 'Confirm the chosen proposal', () => proposals.take()],
      ['take-all', 'Shift+G', 'Confirm all proposals in the section', () => proposals.takeAll()],
      ['dismiss', 'Shift+X', 'Dismiss the chosen proposal', () => proposals.dismiss()],
    ]),
    ...group('Marking: the stroke', [
      ...ENTRY_POSITIONS.map((position, index): Line => [
        `entry-${position}`,
        ENTRY_KEYS[index]!,
        `Hand enters ${position === 'level' ? 'level with' : position} the shoulder`,
        () => judge.turn({ entryPosition: position }),
      ]),
      ...BREATHS.map((breath, index): Line => [
        `breath-${breath}`,
        BREATH_KEYS[index]!,
        breath === 'none' ? 'No breath' : `Breath to the ${breath}`,
        () => judge.turn({ breath }),
      ]),
      ['leave-out', 'X', 'Leave the stroke out, or let it count', () => judge.ask()],
      ['points', 'B', 'Place points for the entry position', () => marking.entry.begin()],
    ]),
    ...group('Marking: the section', [
      ['section-start', '(', 'Section starts at the cursor', () => section.setHere('start')],
      ['section-end', ')', 'Section ends at the cursor', () => section.setHere('end')],
    ]),
  ];
}
