/** A day of the sample with one of everything that a person decides on it. */
import type { TrialView } from '../../../core/contract/views.ts';
import { keepArea } from '../../../main/lab/bench/areas.ts';
import { confirmZero } from '../../../main/lab/bench/zeros.ts';
import { decideTrial, viewTrial } from '../../../main/lab/days/dayview.ts';
import {
  adjudicate,
  editJudgements,
  editMarks,
  editPairs,
  editSection,
} from '../../../main/lab/review/markedits.ts';
import { valueOf, type TestLab } from './support.ts';

export async function viewOf(lab: TestLab, day: number, trial: string): Promise<TrialView> {
  return valueOf(await viewTrial(lab.session, day, trial));
}

/** One of everything a person decides on a day. */
export async function decideMuch(lab: TestLab, day: number): Promise<void> {
  const { session } = lab;
  const says = 'x';
  const view = (trial: string) => viewOf(lab, day, trial);

  const seen = (await view('P01-1')).marking.marks;
  const now = seen.map((mark) =>
    mark.stroke === 6 && mark.event === 'propulsion_end' ? { ...mark, timeS: mark.timeS - 0.04 } : mark,
  );
  valueOf(await editMarks(session, { day, trial: 'P01-1', seen, now, says }));
  const own = (await view('P06-2')).marking.marks;
  valueOf(
    await editMarks(session, {
      day,
      trial: 'P06-2',
      seen: own,
      now: [7.1, 8.3, 9.5].flatMap((timeS, index) =>
        (['left', 'right'] as const).flatMap((hand, side) =>
          (['propulsion_start', 'propulsion_end'] as const).map((event, end) => ({
            hand,
            stroke: index + 1,
            event,
            timeS: timeS + 0.6 * side + 0.5 * end,
            clock: 'trace' as const,
            camera: null,
            uS: 0.0021,
            sharedUS: event === 'propulsion_end' ? 0.0112 : 0.0084,
          })),
        ),
      ),
      says,
    }),
  );
  valueOf(
    await adjudicate(session, { day, trial: 'P01-2', rater: 'R2', seen: 'R1', reason: 'looked together' }),
  );
  const { judgements } = (await view('P02-1')).marking;
  const judged = judgements.map((one, k) =>
    k === 6 ? { ...one, exclusionReason: 'says "rope", hit it' } : one,
  );
  valueOf(await editJudgements(session, { day, trial: 'P02-1', seen: judgements, now: judged, says }));
  const { pairs } = (await view('P04-1')).marking;
  valueOf(await editPairs(session, { day, trial: 'P04-1', seen: pairs, now: pairs.slice(1), says }));
  const { section } = (await view('P05-1')).marking;
  const longer = { ...section!, startS: section!.startS - 0.06, uS: 0.009 };
  valueOf(await editSection(session, { day, trial: 'P05-1', seen: section, now: longer, says }));
  const traced = {
    method: 'traced',
    cm2: 150.5,
    uCm2: 1.25,
    scaleUCm2: 1,
    repeatUCm2: 0.75,
    planeUCm2: null,
    offsetUCm2: null,
    count: 3,
  } as const;
  const area = { ...traced, says: 'Mean of three tracings.' };
  valueOf(await keepArea(session, { day, participant: 'P02', hand: 'left', area, seen: null }));
  const typed = {
    ...area,
    method: 'typed' as const,
    cm2: 170,
    uCm2: null,
    scaleUCm2: null,
    repeatUCm2: null,
    planeUCm2: null,
    offsetUCm2: null,
  };
  valueOf(await keepArea(session, { day, participant: 'P06', hand: 'right', area: typed, seen: null }));
  const zero = { day, trial: 'P04-2', sensor: 'S-01', when: 'before', raw: 8170.25, seen: null } as const;
  valueOf(await confirmZero(session, zero));
  const exclude = { day, trial: 'P06-1', seen: 'recorded', status: 'excluded', reason: 'cap lost' } as const;
  valueOf(await decideTrial(session, exclude));
}
