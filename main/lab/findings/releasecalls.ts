/** The calls of the contract for releases and the functions that answer them. */
import { existsSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import type { CallName } from '../../../core/contract/contract.ts';
import type { LabError } from '../../../core/base/refusal.ts';
import { done, failed, type Outcome } from '../../../core/base/refusal.ts';
import { counted } from '../../../core/base/words.ts';
import type { CallsNamed } from '../bench/benchcalls.ts';
import type { Done, Jobs, Progress } from '../kept/jobs.ts';
import { allowedFolder } from '../kept/places.ts';
import type { Session } from '../kept/session.ts';
import { diffReleases } from './diffreleases.ts';
import { exportRelease, type ExportOrder } from './exportrelease.ts';
import { freezeRelease, tryFreeze } from './freeze.ts';
import { listReleases, tryExport } from './releases.ts';

type ReleaseCall = Extract<CallName, `releases.${string}`>;

export function releaseCalls(session: Session, jobs: Jobs): CallsNamed<ReleaseCall> {
  return {
    'releases.list': () => done(listReleases(session)),
    'releases.tryFreeze': (order) => tryFreeze(session, order),
    'releases.freeze': (order) =>
      done(
        jobs.start(`Freezing ${order.name}`, async (progress) => {
          const frozen = await freezeRelease(session, order, progress);
          return frozen.ok ? done({ day: null, says: frozen.value.says }) : frozen;
        }),
      ),
    'releases.tryExport': ({ name, wish }) => tryExport(session, name, wish),
    'releases.export': ({ name, path, wish }) =>
      done(
        jobs.start(`Writing ${name}`, (progress) =>
          writeRelease(session, { name, out: path, wish, replace: false }, progress),
        ),
      ),
    'releases.diff': ({ from, to }) => diffReleases(session, from, to),
  };
}

/** {@link exportRelease} into a place that a person has allowed. */
async function writeRelease(
  session: Session,
  order: ExportOrder,
  progress: Progress,
): Promise<Outcome<Done, LabError>> {
  const isThere = existsSync(order.out);
  const place = await allowedFolder(session, isThere ? order.out : dirname(order.out));
  if (!place.ok) return place;
  const out = isThere ? place.value : join(place.value, basename(order.out));
  const outcome = await exportRelease(session, { ...order, out }, progress);
  if (outcome.kind === 'nothing') return failed(outcome.error);
  if (outcome.kind === 'misplaced')
    return failed({
      code: 'bad_input',
      says: outcome.says.replace(', or add --replace', ''),
      todo: 'Give the name of a new folder, or of an empty one, outside the lab folder.',
    });
  const { swimmers, trials } = outcome.leftOut;
  const left =
    swimmers === 0
      ? ''
      : ` Left out for consent: ${counted(swimmers, 'swimmer')}, ${counted(trials, 'trial')}.`;
  return done({ day: null, says: outcome.says + left });
}
