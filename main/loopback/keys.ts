/** Who may use the loopback server: links that work once, and the sessions they open. */
import { createHash, randomBytes } from 'node:crypto';

export interface Keys {
  /** A new token for a link; it works once. */
  readonly newToken: () => string;
  /** Spends a token for a session; null where the token is unknown or spent. */
  readonly redeem: (token: string) => string | null;
  readonly knows: (session: string) => boolean;
}

const random = () => randomBytes(32).toString('base64url');
// Looked up by digest: the time a lookup takes then says nothing about the secret.
const digest = (secret: string) => createHash('sha256').update(secret).digest('base64');

export function makeKeys(): Keys {
  const tokens = new Set<string>();
  const sessions = new Set<string>();
  return {
    newToken: () => {
      const token = random();
      tokens.add(digest(token));
      return token;
    },
    redeem: (token) => {
      if (!tokens.delete(digest(token))) return null;
      const session = random();
      sessions.add(digest(session));
      return session;
    },
    knows: (session) => sessions.has(digest(session)),
  };
}
