/** What a new protocol can begin from, as it is chosen. */
import type { ProtocolSummary } from '../../core/protocol/versions.ts';
import { PROTOCOL_STARTERS } from '../../core/protocol/starters.ts';

export type Start =
  | { readonly from: 'starter'; readonly code: string }
  | { readonly from: 'own'; readonly protocol: string }
  | { readonly from: 'file' };

/** A way to begin as a line of a list: `value` stands for it. */
interface StartChoice {
  readonly value: string;
  readonly text: string;
  readonly says: string;
  readonly start: Start;
}

export function valueOf(start: Start): string {
  switch (start.from) {
    case 'starter':
      return `starter ${start.code}`;
    case 'own':
      return `own ${start.protocol}`;
    case 'file':
      return 'file';
  }
}

/** Every way to begin: the starting protocols, the lab's own, a file. */
export function startChoices(own: readonly ProtocolSummary[]): readonly StartChoice[] {
  const choice = (start: Start, text: string, says: string) => ({ value: valueOf(start), text, says, start });
  return [
    ...PROTOCOL_STARTERS.map(({ code, name, purpose }) =>
      choice({ from: 'starter', code }, `Starting protocol: ${name}`, purpose),
    ),
    ...own.map(({ protocol, name, version }) =>
      choice(
        { from: 'own', protocol },
        `Copy of ${protocol}: ${name}`,
        version === null ? 'Its draft, as it stands.' : `Its version ${version}, as it was kept.`,
      ),
    ),
    choice({ from: 'file' }, 'A protocol file (JSON)', 'As exported here, or written by the schema.'),
  ];
}

/** A code to propose; the starting protocol's own where nobody has it. */
export function proposedCode(start: Start, own: readonly ProtocolSummary[]): string {
  if (start.from === 'file') return '';
  const base = start.from === 'starter' ? start.code : start.protocol;
  const taken = new Set(own.map(({ protocol }) => protocol.toLowerCase()));
  for (let k = 1; ; k += 1) {
    const code = k === 1 ? base : `${base.slice(0, 60)}-${k}`;
    if (!taken.has(code.toLowerCase())) return code;
  }
}
