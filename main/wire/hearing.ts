/** What hearing a live source means: what is told of it, and how it ends. */

/** How a source ended. */
export type Ended =
  /** It closed, as a recorder does that has finished or was unplugged. */
  | { readonly kind: 'closed'; readonly says: string }
  /** It could not be opened at all. */
  | { readonly kind: 'not_opened'; readonly says: string }
  /** Nobody wants it any more. */
  | { readonly kind: 'stopped' };

export interface Hearing {
  /** A piece of a stream, or a whole datagram. */
  readonly onBytes: (bytes: Uint8Array) => void;
  /** Told once, when a recorder is there. */
  readonly onOpen?: () => void;
}
