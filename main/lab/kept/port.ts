/**
 * What a host (desktop window, loopback server, command line) needs of the lab. Hosts carry; they decide nothing.
 */
import type { Carry } from '../../../core/contract/contract.ts';

/** Bytes a screen may fetch: a stored film, or samples computed for drawing. */
export type Resource =
  | { readonly kind: 'file'; readonly path: string; readonly mime: string }
  | { readonly kind: 'bytes'; readonly bytes: Uint8Array<ArrayBuffer>; readonly mime: string };

export interface Lab {
  readonly carry: Carry;
  /** The resource at a decoded URL path such as `/film/1/T1/A`; null where there is none. */
  readonly resource: (path: string) => Promise<Resource | null>;
  readonly close: () => Promise<void>;
}

/** Prints a page of HTML that stands alone as PDF; null where that did not work. */
export type PrintPdf = (html: string) => Promise<Uint8Array<ArrayBuffer> | null>;
