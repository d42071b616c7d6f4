/** The calls of the contract that run a testing day. */
import type { CallName } from '../../../core/contract/contract.ts';
import type { LabError } from '../../../core/base/refusal.ts';
import type { DeckView } from '../../../core/contract/deck.ts';
import { done, type Outcome } from '../../../core/base/refusal.ts';
import type { CallsNamed } from '../bench/benchcalls.ts';
import { verifyLab } from '../days/verify.ts';
import { actOn, newDay } from './deckact.ts';
import { viewArrival } from './deckarrival.ts';
import { backupDay, datasetOf } from './deckclose.ts';
import { viewDryRun } from './deckdryrun.ts';
import { rosterMatch, sectionMatch } from './deckmatch.ts';
import { requireDeck } from '../kept/deckstate.ts';
import { sectionsOf, viewClose, viewDeck, viewPulse } from './deckview.ts';
import type { Jobs } from '../kept/jobs.ts';
import type { Session } from '../kept/session.ts';
import type { Watches } from '../watch/watch.ts';

type DeckCall = Extract<CallName, `deck.${string}` | 'days.dataset'>;

export function deckCalls(session: Session, watches: Watches, jobs: Jobs): CallsNamed<DeckCall> {
  const then = async (
    day: number,
    outcome: Outcome<unknown, LabError>,
  ): Promise<Outcome<DeckView, LabError>> => (outcome.ok ? viewDeck(session, watches, day) : outcome);
  return {
    'deck.new': (wish) => newDay(session, wish),
    'deck.get': ({ day }) => viewDeck(session, watches, day),
    'deck.pulse': ({ day }) => viewPulse(session, watches, day),
    'deck.act': ({ day, act }) => {
      const acted = actOn(session, day, act);
      // At the close of a day the lab folder is read through by itself; what comes of it is noted.
      if (acted.ok && act.act === 'day.close')
        jobs.start('Checking the lab folder', (progress) => verifyLab(session, progress));
      return then(day, acted);
    },
    'deck.watch': async ({ day, path }) => then(day, await watches.watch(day, path)),
    'deck.file': ({ day, name, take }) => then(day, take ? watches.take(day, name) : watches.stop(day, name)),
    'deck.arrival': ({ day, trial }) => viewArrival(session, day, trial),
    'deck.dryRun': ({ day }) => viewDryRun(session, day),
    'deck.roster': ({ day, text, matching }) => {
      const state = requireDeck(session, day);
      return state.ok ? rosterMatch(state.value, text, matching) : state;
    },
    'deck.sections': async ({ day, text, matching }) => {
      const state = requireDeck(session, day);
      if (!state.ok) return state;
      const sections = await sectionsOf(session, day);
      return sections.ok ? sectionMatch(state.value, sections.value, text, matching) : sections;
    },
    'deck.close': ({ day }) => viewClose(session, day),
    'deck.backup': ({ day, path }) => {
      const state = requireDeck(session, day);
      return state.ok
        ? done(jobs.start('Backing up the lab folder', (progress) => backupDay(session, path, progress)))
        : state;
    },
    'days.dataset': ({ day, path }) =>
      done(
        jobs.start('Writing the day and its dataset', (progress) => datasetOf(session, day, path, progress)),
      ),
  };
}
