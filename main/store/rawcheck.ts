/**
 * Raw files are evidence: each is read through and held against its SHA-256 (FIPS 180-4) at its first use in a start,
 * and again whenever its size, its times or its place on the disk are not what they were then.
 */
import { existsSync, statSync } from 'node:fs';
import { hashFile } from './hash.ts';
import { contentPath, type Layout } from './layout.ts';

export type RawState =
  | { readonly state: 'whole' | 'unchecked' | 'missing' }
  /** `why` goes on from the file's name: `is damaged: …`. */
  | { readonly state: 'damaged'; readonly why: string };

export interface RawChecking {
  /** Reads the content through where that is not known to have been done; an aborted signal rejects. */
  readonly checkRaw: (sha256: string, signal?: AbortSignal) => Promise<RawState>;
  /** What is known of it without reading it. */
  readonly knownRaw: (sha256: string) => RawState;
}

interface Checked {
  readonly mark: string;
  readonly state: RawState;
}

export function rawChecking(layout: Layout): RawChecking {
  const checked = new Map<string, Checked>();
  const running = new Map<string, Promise<RawState>>();
  const knownRaw = (sha256: string): RawState => {
    const mark = markOf(contentPath(layout.raw, sha256));
    if (mark === null) return { state: 'missing' };
    const known = checked.get(sha256);
    return known?.mark === mark ? known.state : { state: 'unchecked' };
  };
  const check = async (sha256: string, signal?: AbortSignal): Promise<RawState> => {
    const path = contentPath(layout.raw, sha256);
    const mark = markOf(path);
    if (mark === null) return { state: 'missing' };
    let state: RawState;
    try {
      const content = await hashFile(path, signal);
      state =
        content.sha256 === sha256
          ? { state: 'whole' }
          : { state: 'damaged', why: 'is damaged: its content is no longer what came in, by its SHA-256' };
    } catch (caught) {
      if (signal?.aborted === true) throw caught;
      const says = caught instanceof Error ? caught.message.replace(/\.$/, '') : String(caught);
      return { state: 'damaged', why: `cannot be read: ${says}` };
    }
    // What changed while it was read is not known by what was read.
    if (markOf(path) === mark) checked.set(sha256, { mark, state });
    return state;
  };
  return {
    knownRaw,
    async checkRaw(sha256, signal) {
      const known = knownRaw(sha256);
      if (known.state !== 'unchecked') return known;
      if (signal !== undefined) return check(sha256, signal);
      const other = running.get(sha256);
      if (other !== undefined) return other;
      const own = check(sha256).finally(() => running.delete(sha256));
      running.set(sha256, own);
      return own;
    },
  };
}

/** Size, times and place on the disk, as one text; null where there is no file. */
function markOf(path: string): string | null {
  if (!existsSync(path)) return null;
  const { size, mtimeNs, ctimeNs, ino } = statSync(path, { bigint: true });
  return [size, mtimeNs, ctimeNs, ino].join(' ');
}
