/** The calls of review and the functions that answer them. */
import type { CallName } from '../../../core/contract/contract.ts';
import { viewAgreement } from './agreementview.ts';
import type { CallsNamed } from '../bench/benchcalls.ts';
import { closeBlind, editBlindJudgements, editBlindMarks, getBlind, listBlind, startBlind } from './blind.ts';
import { exportDay } from '../days/exportday.ts';
import { adjudicate, editJudgements, editMarks, editPairs, editSection } from './markedits.ts';
import { drawQueue, viewQueue } from './queue.ts';
import type { Session } from '../kept/session.ts';

type ReviewCall = Extract<
  CallName,
  `${'marks' | 'clock' | 'section' | 'blind' | 'agreement' | 'queue'}.${string}` | 'days.export'
>;

export function reviewCalls(session: Session): CallsNamed<ReviewCall> {
  return {
    'marks.edit': (wish) => editMarks(session, wish),
    'marks.judge': (wish) => editJudgements(session, wish),
    'clock.edit': (wish) => editPairs(session, wish),
    'section.edit': (wish) => editSection(session, wish),
    'marks.adjudicate': (wish) => adjudicate(session, wish),
    'days.export': ({ day, path, films }) => exportDay(session, day, path, films),
    'blind.list': ({ day }) => listBlind(session, day),
    'blind.start': (wish) => startBlind(session, wish),
    'blind.get': ({ session: id, item }) => getBlind(session, id, item),
    'blind.marks': (wish) => editBlindMarks(session, wish),
    'blind.judge': (wish) => editBlindJudgements(session, wish),
    'blind.close': ({ session: id }) => closeBlind(session, id),
    'queue.get': ({ day }) => viewQueue(session, day),
    'queue.draw': (wish) => drawQueue(session, wish),
    'agreement.get': ({ day }) => viewAgreement(session, day),
  };
}
