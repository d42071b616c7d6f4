/**
 * What a person must know of the lab folder, on every screen until somebody took note of it. To take note puts nothing
 * right and takes nothing back: who did it and when is kept, and the check of the lab folder goes on telling of it.
 */
import { createHash } from 'node:crypto';
import type { LabNotice } from '../../../core/contract/contract.ts';
import type { LabError } from '../../../core/base/refusal.ts';
import { done, failed, type Outcome } from '../../../core/base/refusal.ts';
import { counted } from '../../../core/base/words.ts';
import type { ReadableStore } from '../../store/store.ts';
import { now, operatorOf, storeFault, type Session } from './session.ts';

/** Damages are told one by one up to this many. */
const MOST = 8;

const code = 'lab_folder';
const STILL_HELD =
  'Everything else works. A backup may still hold it; "lanebench salvage" writes what can be read to a new lab folder.';

interface Found extends LabNotice {
  /** Which loss it tells of; null for a damage. */
  readonly loss: number | null;
}

/** Notices that nobody took note of. */
export function noticesOf({ store, version }: Session): readonly LabNotice[] {
  const { readOnly } = store;
  const looked: LabNotice[] =
    readOnly === null
      ? []
      : [
          {
            code,
            says: `${readOnly.says} It is open for looking: nothing is recorded.`,
            todo: readOnly.todo,
            note: null,
          },
        ];
  const others = store.openToOthers();
  const seen: LabNotice[] =
    others === null
      ? []
      : [
          {
            code,
            says: others,
            todo: 'Keep the lab folder on a disk of this computer that knows owners of files, or on a computer of your own.',
            note: null,
          },
        ];
  const found = openNotices(store);
  const shown = found.slice(0, MOST).map(({ loss: _loss, note, ...error }) => ({
    ...error,
    // What cannot be written down cannot be taken note of.
    note: readOnly === null ? note : null,
  }));
  const more =
    found.length > MOST
      ? [
          {
            code,
            says: `${found.length - MOST} more things are damaged.`,
            todo: '"lanebench verify" lists all of them.',
            note: null,
          } as const,
        ]
      : [];
  return [...looked, ...seen, ...shown, ...more, ...otherVersions({ store, version })];
}

/** That kept numbers were computed by another version of the program, as long as there are any. */
function otherVersions({ store, version }: Pick<Session, 'store' | 'version'>): readonly LabNotice[] {
  const others = store.resultsOfOthers(version);
  if (others.length === 0 || store.readOnly !== null) return [];
  const who = others.map((one) => `version ${one.version} (${counted(one.trials, 'trial')})`).join(', ');
  return [
    {
      code,
      says: `Numbers of this lab were computed by ${who} of the program; this is version ${version}.`,
      todo: 'They stay as they were kept. See which numbers of which trials this version computes otherwise, and why, before it replaces them.',
      note: null,
      leads: 'versions',
    },
  ];
}

/** Losses first, then damages. */
function openNotices(store: ReadableStore): readonly Found[] {
  const losses = store.losses().flatMap(({ id, expected, found, who }): Found[] => {
    if (who !== null) return [];
    const says = `${expected - found} of ${expected} acts that were recorded are no longer in the lab folder: the end of its log was lost, or an older copy was put in its place.`;
    const todo =
      'Look at the history of the last days worked on and decide again what is missing; or open a newer backup.';
    return [{ code, says, todo, note: noteOf(`loss ${id}`), loss: id }];
  });
  const damages = store.damage.flatMap(({ day, says }): Found[] => {
    const note = noteOf(`damage ${says}`);
    if (store.getSetting(KEY(note)) !== null) return [];
    const named = day === null ? null : store.getDay(day);
    return [
      { code, says: named === null ? says : `Day ${named.day}: ${says}`, todo: STILL_HELD, note, loss: null },
    ];
  });
  return [...losses, ...damages];
}

/** Writes down that the person at work has read a notice. */
export function takeNote(session: Session, note: string): Outcome<null, LabError> {
  const { store } = session;
  const found = openNotices(store).find((notice) => notice.note === note);
  if (found === undefined)
    return failed({
      code: 'not_found',
      says: 'That notice is no longer there.',
      todo: 'Somebody has taken note of it already.',
    });
  const [who, at] = [operatorOf(session), now()];
  const noted =
    found.loss === null
      ? store.setSetting(KEY(note), found.says, who, at)
      : store.noteLoss(found.loss, who, at);
  return noted.ok ? done(null) : storeFault(noted.error);
}

/** Who took note of what is no longer whole, one sentence each. */
export function notedOf(store: ReadableStore): readonly string[] {
  const by = (what: string, { who, at }: { readonly who: string; readonly at: string }) =>
    `${what}; ${who} took note of it on ${at.slice(0, 10)}`;
  return [
    ...store
      .losses()
      .flatMap(({ expected, found, who, at }) =>
        who === null || at === null
          ? []
          : [by(`${expected - found} of ${expected} acts were lost`, { who, at })],
      ),
    ...store.damage.flatMap(({ says }) => {
      const noted = store.getSetting(KEY(noteOf(`damage ${says}`)));
      return noted === null ? [] : [by(says.replace(/\.$/, ''), noted)];
    }),
  ];
}

const KEY = (note: string) => `noted ${note}`;

function noteOf(what: string): string {
  return createHash('sha256').update(what).digest('hex');
}
