/** The calls of the contract that concern protocols. */
import type { CallName } from '../../../core/contract/contract.ts';
import type { CallsNamed } from '../bench/benchcalls.ts';
import { draftProtocol, importProtocol, keepProtocol, listProtocols, viewProtocol } from './protocols.ts';
import type { Session } from '../kept/session.ts';

type ProtocolCall = Extract<CallName, `protocols.${string}`>;

export function protocolCalls(session: Session): CallsNamed<ProtocolCall> {
  return {
    'protocols.list': () => listProtocols(session),
    'protocols.get': ({ protocol }) => viewProtocol(session, protocol),
    'protocols.draft': ({ protocol, draft }) => draftProtocol(session, protocol, draft),
    'protocols.keep': ({ protocol }) => keepProtocol(session, protocol),
    'protocols.import': ({ protocol, text }) => importProtocol(session, protocol, text),
  };
}
