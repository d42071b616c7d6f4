/** Protocols of the lab: kept versions, the version being made, files in and out. */
import { jsonFaultSays } from '../../../core/base/jsonfault.ts';
import { isDeepStrictEqual } from 'node:util';
import { z } from 'zod';
import type { LabError } from '../../../core/base/refusal.ts';
import type { ProtocolSummary, ProtocolVersion, ProtocolView } from '../../../core/protocol/versions.ts';
import { protocolChanges } from '../../../core/protocol/change.ts';
import { protocolContent, type ProtocolContent } from '../../../core/protocol/content.ts';
import { done, failed, type Outcome } from '../../../core/base/refusal.ts';
import { code } from '../../../core/base/codes.ts';
import type { KeptProtocol } from '../../store/protocols.ts';
import type { Resource } from '../kept/port.ts';
import { readProtocol } from '../kept/readprotocol.ts';
import { now, operatorOf, storeFault, type Session } from '../kept/session.ts';
import type { KeptValue } from '../../store/bench.ts';
import { PROTOCOL_SHAPE } from '../shapes/protocol.ts';
import { KeptFault, readKept } from '../shapes/shape.ts';

/** What a protocol file says it is. */
const PROTOCOL_FORMAT = 'lanebench-protocol/1';

const protocolFile = z.strictObject({
  format: z.literal(PROTOCOL_FORMAT, `takes "${PROTOCOL_FORMAT}"; without it this is no protocol file`),
  protocol: code,
  version: z.number().int().positive().nullable(),
  content: protocolContent,
});

export function listProtocols({ store }: Session): Outcome<readonly ProtocolSummary[], LabError> {
  const versions = Map.groupBy(store.protocolVersions(), ({ protocol }) => protocol);
  const drafts = store.protocolDrafts();
  const days = store.deckDays();
  const codes = [...new Set([...versions.keys(), ...drafts.keys()])].toSorted();
  return done(
    codes.map((protocol) => {
      const newest = versions.get(protocol)?.at(-1) ?? null;
      const { name, fault } = nameOf(protocol, newest, drafts.get(protocol));
      return {
        protocol,
        name,
        fault,
        version: newest?.version ?? null,
        keptAt: newest?.at ?? null,
        hasDraft: drafts.has(protocol),
        days: days.filter((day) => day.protocol === protocol).map(({ code }) => code),
      };
    }),
  );
}

export function viewProtocol({ store }: Session, protocol: string): Outcome<ProtocolView, LabError> {
  const versions = store.protocolVersions().filter((one) => one.protocol === protocol);
  const draft = draftOf(protocol, store.protocolDrafts().get(protocol));
  if (versions.length === 0 && draft === null)
    return failed({
      code: 'not_found',
      says: `There is no protocol ${protocol}.`,
      todo: 'Go back to the list of protocols.',
    });
  const days = store.deckDays().filter((day) => day.protocol === protocol);
  const views = versions.map(({ version, content, at, who, shape }, index): ProtocolVersion => {
    const before = versions[index - 1];
    const own = readProtocol({ protocol, version, content, at, who, shape });
    return {
      version,
      content: own,
      at,
      who,
      changes: before === undefined ? [] : protocolChanges(readProtocol(before), own),
      days: days.filter((day) => day.version === version).map(({ code }) => code),
    };
  });
  return done({ protocol, versions: views.toReversed(), draft });
}

export function draftProtocol(
  session: Session,
  protocol: string,
  draft: ProtocolContent | null,
): Outcome<ProtocolView, LabError> {
  const isOnly = newest(session, protocol) === null;
  const kept = session.store.putProtocolDraft(protocol, draft, operatorOf(session), now());
  if (!kept.ok) return storeFault(kept.error);
  // A protocol of which nothing was kept is gone with its draft.
  return draft === null && isOnly
    ? done({ protocol, versions: [], draft: null })
    : viewProtocol(session, protocol);
}

export function keepProtocol(session: Session, protocol: string): Outcome<ProtocolView, LabError> {
  const { store } = session;
  const draft = draftOf(protocol, store.protocolDrafts().get(protocol));
  if (draft === null)
    return failed({
      code: 'not_found',
      says: `Nothing is being made of the protocol ${protocol}.`,
      todo: 'Change something first; it is then kept as the next version.',
    });
  const before = newest(session, protocol);
  if (before !== null && isDeepStrictEqual(readProtocol(before), draft))
    return failed({
      code: 'bad_input',
      says: `This is version ${before.version} as it was kept; there is nothing to keep.`,
      todo: 'Change something, or discard the draft.',
    });
  const kept = store.addProtocolVersion({
    protocol,
    version: (before?.version ?? 0) + 1,
    content: draft,
    at: now(),
    who: operatorOf(session),
  });
  return kept.ok ? viewProtocol(session, protocol) : storeFault(kept.error);
}

/** Reads a protocol file; whatever code the file gives, it becomes the draft of the protocol asked for. */
export function importProtocol(
  session: Session,
  protocol: string,
  text: string,
): Outcome<ProtocolView, LabError> {
  const bad = (says: string, todo: string) => failed({ code: 'bad_input' as const, says, todo });
  let value: unknown;
  try {
    value = JSON.parse(text.replace(/^\uFEFF/, ''));
  } catch (error) {
    return bad(
      `The file is not JSON: ${jsonFaultSays(error)}.`,
      'Choose a protocol file, or correct it at that place.',
    );
  }
  const read = protocolFile.safeParse(value);
  if (!read.success) {
    const issue = read.error.issues[0]!;
    const where = issue.path.length === 0 ? 'the file' : issue.path.join('.');
    return bad(
      `In the protocol file, ${where}: ${issue.message}.`,
      `The file follows the schema ${PROTOCOL_FORMAT}; correct it there and choose it again.`,
    );
  }
  return draftProtocol(session, protocol, read.data.content);
}

/** A kept version as a file; null where there is none. */
export function protocolResource({ store }: Session, protocol: string, version: number): Resource | null {
  const kept = store.protocolVersion(protocol, version);
  if (kept === null) return null;
  return json({ format: PROTOCOL_FORMAT, protocol, version, content: kept.content });
}

/** The schema that protocol files follow (JSON Schema, draft 2020-12). */
export function protocolSchema(): Resource {
  return json(z.toJSONSchema(protocolFile, { unrepresentable: 'any' }));
}

function json(value: unknown): Resource {
  const bytes = new TextEncoder().encode(`${JSON.stringify(value, null, 2)}\n`);
  return { kind: 'bytes', bytes, mime: 'application/json' };
}

/** The version being made; null where there is none, or it cannot be read: the list says so, and it can be begun anew. */
function draftOf(protocol: string, kept: KeptValue | undefined): ProtocolContent | null {
  if (kept === undefined) return null;
  try {
    return readKept(PROTOCOL_SHAPE, kept.value, `the version being made of ${protocol}`, kept.shape);
  } catch (caught) {
    if (caught instanceof KeptFault) return null;
    throw caught;
  }
}

/** The name of a protocol by its newest version, else by the one being made; its code where neither can be read. */
function nameOf(
  protocol: string,
  newest: KeptProtocol | null,
  draft: KeptValue | undefined,
): Pick<ProtocolSummary, 'name' | 'fault'> {
  try {
    if (draft !== undefined) readKept(PROTOCOL_SHAPE, draft.value, 'the version being made', draft.shape);
    if (newest !== null) return { name: readProtocol(newest).name, fault: null };
    return { name: draftOf(protocol, draft)?.name ?? protocol, fault: null };
  } catch (caught) {
    if (caught instanceof KeptFault) return { name: protocol, fault: caught.message };
    throw caught;
  }
}

function newest({ store }: Session, protocol: string): KeptProtocol | null {
  return store.protocolVersions().findLast((one) => one.protocol === protocol) ?? null;
}
