/** The steps of closing a day, and how far each is. */
import type { CloseView } from '../../../core/deck/views.ts';
import type { DeckView } from '../../../core/contract/deck.ts';
import { counted, formatInstant } from '../../format.ts';

export const STEPS = [
  { step: 'sensors', title: 'Zeros and known pressures of the sensors' },
  { step: 'missing', title: 'What is missing' },
  { step: 'checklist', title: 'Closing checklist' },
  { step: 'backup', title: 'Backup of the lab folder' },
  { step: 'log', title: 'Log of the day' },
  { step: 'export', title: 'Export' },
  { step: 'closed', title: 'Close the day' },
] as const;
export type StepName = (typeof STEPS)[number]['step'];

export interface StepState {
  /** Null for what may be done any time and leaves no trace in the day. */
  readonly done: boolean | null;
  readonly says: string;
}
export type StepStates = Readonly<Record<StepName, StepState>>;

export function stepStates(view: DeckView, found: CloseView | null): StepStates {
  return {
    sensors: sensorsState(view),
    missing: missingState(found),
    checklist: checklistState(view),
    backup:
      found?.lastBackup == null
        ? { done: false, says: 'not made' }
        : { done: true, says: `made ${formatInstant(found.lastBackup.at)}` },
    log: { done: null, says: 'to read or print' },
    export: { done: null, says: 'to write out' },
    closed: closedState(view),
  };
}

/** The step that waits, in their order; what is missing holds nothing up. */
export function firstOpen(states: StepStates): StepName | null {
  if (states.closed.done === true) return null;
  return STEPS.find(({ step }) => step !== 'missing' && states[step].done === false)?.step ?? null;
}

function sensorsState({ plan, knownPressures }: DeckView): StepState {
  const worn = new Set(plan.sensors.map(({ sensor }) => sensor)).size;
  if (worn === 0) return { done: null, says: 'no sensor was worn' };
  const of = (verdict: string) => knownPressures.filter((check) => check.verdict === verdict).length;
  const [holds, look] = [of('holds'), of('look')];
  const says = [
    `${holds} of ${worn} hold`,
    look > 0 ? `${look} to look at` : null,
    worn - holds - look > 0 ? `${worn - holds - look} not read` : null,
  ].filter((part) => part !== null);
  return { done: worn - holds - look === 0, says: says.join(', ') };
}

function missingState(found: CloseView | null): StepState {
  if (found === null) return { done: null, says: 'being looked for' };
  const { length } = found.missing;
  return { done: length === 0, says: length === 0 ? 'nothing' : counted(length, 'thing') };
}

function checklistState({ protocol, board }: DeckView): StepState {
  const items = protocol.content.checklists.close;
  if (items.length === 0) return { done: null, says: 'the protocol has none' };
  const ticked = items.filter((item) =>
    board.ticks.some((tick) => tick.list === 'close' && tick.item === item),
  ).length;
  return { done: ticked === items.length, says: `${ticked} of ${items.length} ticked` };
}

function closedState({ board: { closed } }: DeckView): StepState {
  if (closed === null) return { done: false, says: 'open' };
  return { done: true, says: `closed by ${closed.initials}` };
}
