/** A lab that keeps protocols in memory, by the rules of the contract. Data invented. */
import type { LabError } from '../../../core/base/refusal.ts';
import type { ProtocolVersion, ProtocolView } from '../../../core/protocol/versions.ts';
import { protocolChanges } from '../../../core/protocol/change.ts';
import { protocolContent, type ProtocolContent } from '../../../core/protocol/content.ts';
import { PROTOCOL_STARTERS } from '../../../core/protocol/starters.ts';
import { done, failed } from '../../../core/base/refusal.ts';
import { fakeLab } from '../fixture.ts';

export const CONTENT: ProtocolContent = PROTOCOL_STARTERS.find(
  ({ code }) => code === 'sprint-to-wall',
)!.content;

interface Kept {
  readonly versions: readonly ProtocolVersion[];
  readonly draft: ProtocolContent | null;
}

export function version(
  number: number,
  content: ProtocolContent,
  days: readonly string[] = [],
): ProtocolVersion {
  return { version: number, content, at: `2026-03-0${number}T09:00:00Z`, who: 'AB', changes: [], days };
}

export function fakeProtocols(start: Readonly<Record<string, Kept>> = {}) {
  const kept = new Map<string, Kept>(Object.entries(start));
  /** What the next drafts fail with. */
  const trouble: { draft: LabError | null } = { draft: null };
  const view = (protocol: string): ProtocolView => {
    const { versions, draft } = kept.get(protocol) ?? { versions: [], draft: null };
    return { protocol, versions, draft };
  };
  const lab = fakeLab({
    answers: {
      'protocols.list': () =>
        done(
          [...kept].map(([protocol, { versions, draft }]) => ({
            protocol,
            name: (versions[0]?.content ?? draft)!.name,
            version: versions[0]?.version ?? null,
            keptAt: versions[0]?.at ?? null,
            hasDraft: draft !== null,
            days: versions.flatMap(({ days }) => days),
          })),
        ),
      'protocols.get': ({ protocol }) =>
        kept.has(protocol)
          ? done(view(protocol))
          : failed({ code: 'not_found', says: `There is no protocol ${protocol}.`, todo: 'Go back.' }),
      'protocols.draft': ({ protocol, draft }) => {
        if (trouble.draft !== null) return failed(trouble.draft);
        const read = draft === null ? null : protocolContent.parse(draft);
        kept.set(protocol, { versions: view(protocol).versions, draft: read });
        return done(view(protocol));
      },
      'protocols.keep': ({ protocol }) => {
        const { versions, draft } = view(protocol);
        if (draft === null)
          return failed({ code: 'bad_input', says: 'No draft.', todo: 'Change something.' });
        const before = versions[0];
        const next: ProtocolVersion = {
          ...version((before?.version ?? 0) + 1, draft),
          changes: before === undefined ? [] : protocolChanges(before.content, draft),
        };
        kept.set(protocol, { versions: [next, ...versions], draft: null });
        return done(view(protocol));
      },
      'protocols.import': ({ protocol, text }) => {
        if (!text.startsWith('{'))
          return failed({
            code: 'bad_input',
            says: 'The file is not JSON.',
            todo: 'Choose a protocol file, or correct it at that place.',
          });
        kept.set(protocol, { versions: [], draft: protocolContent.parse(JSON.parse(text)) });
        return done(view(protocol));
      },
    },
  });
  const drafts = () =>
    lab.calls.flatMap(({ name, input }) =>
      name === 'protocols.draft' ? [(input as { draft: ProtocolContent | null }).draft] : [],
    );
  return { ...lab, trouble, drafts, kept };
}
