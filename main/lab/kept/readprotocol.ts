/** Reading a kept version of a protocol. */
import type { ProtocolContent } from '../../../core/protocol/content.ts';
import type { KeptProtocol } from '../../store/protocols.ts';
import { PROTOCOL_SHAPE } from '../shapes/protocol.ts';
import { readKept } from '../shapes/shape.ts';

/** Its content in today's shape; throws a KeptFault where it cannot be read. */
export function readProtocol({ protocol, version, content, shape }: KeptProtocol): ProtocolContent {
  return readKept(PROTOCOL_SHAPE, content, `version ${version} of ${protocol}`, shape);
}
