/** A trace sent as a recorder would send it: its lines unchanged, each at its time. For practice and tests. */
import { once } from 'node:events';
import { readFile } from 'node:fs/promises';
import { setTimeout as wait } from 'node:timers/promises';
import type { Socket } from 'node:net';
import { LineCutter } from '../../../core/live/lines.ts';
import { unitsPerSecond } from '../../../core/live/pace.ts';
import { RowSorter } from '../../../core/live/rows.ts';
import type { LiveSource } from '../../../core/live/sourcename.ts';
import { done, failed, type Outcome } from '../../../core/base/refusal.ts';
import { median } from '../../../core/base/statistics.ts';
import { awaitOne, dial } from '../../wire/open.ts';

export interface PlayOrder {
  readonly trace: string;
  readonly to: Extract<LiveSource, { readonly kind: 'tcp' | 'listen' | 'udp' }>;
  /** How many times as fast as it was recorded. */
  readonly speed: number;
}

/** What came of it; `says` is for the person. */
export type PlayOutcome =
  | { readonly kind: 'nothing'; readonly says: string }
  | { readonly kind: 'partly'; readonly lines: number; readonly says: string }
  | { readonly kind: 'sent'; readonly lines: number };

export interface PlayFollowing {
  readonly signal: AbortSignal;
  readonly onLine?: (done: number, total: number) => void;
}

/** A line and when it is sent, s from the first row. */
interface TimedLine {
  readonly line: string;
  readonly atS: number;
}

/** Sends a trace to one recorder's place, then closes. */
export async function playTrace(order: PlayOrder, following: PlayFollowing): Promise<PlayOutcome> {
  const read = await timedLines(order.trace);
  if (!read.ok) return { kind: 'nothing', says: read.error };
  const { kind, host, port } = order.to;
  const { signal } = following;
  const send = (socket: Socket) => sendLines(socket, read.value, order.speed, following);
  const sent = await (kind === 'listen'
    ? awaitOne(host, port, send, signal)
    : dial(host, port, send, signal));
  if (sent.kind === 'stopped') return { kind: 'nothing', says: 'Nobody was there to send it to; ended.' };
  return sent.kind === 'not_opened' ? { kind: 'nothing', says: sent.says } : sent;
}

/** Lines that are due are sent together; then this long is waited at least, ms. */
const BREATH_MS = 1;

async function sendLines(
  socket: Socket,
  lines: readonly TimedLine[],
  speed: number,
  { signal, onLine }: PlayFollowing,
): Promise<Extract<PlayOutcome, { readonly kind: 'sent' | 'partly' }>> {
  let broken: string | null = null;
  socket.on('error', ({ code }: NodeJS.ErrnoException) => (broken ??= `The other end broke off (${code}).`));
  socket.on('close', () => (broken ??= 'The other end closed.'));
  // What the other end says is read and let go, so that its closing is seen.
  socket.resume();
  socket.setNoDelay(true);
  const began = performance.now();
  let next = 0;
  while (next < lines.length && broken === null && !signal.aborted) {
    const nowS = ((performance.now() - began) / 1000) * speed;
    let text = '';
    while (next < lines.length && lines[next]!.atS <= nowS && text.length < 1 << 16)
      text += lines[next++]!.line;
    if (text !== '') {
      const hasRoom = socket.write(text, 'latin1');
      onLine?.(next, lines.length);
      if (!hasRoom) await Promise.race([once(socket, 'drain'), once(socket, 'close')]).catch(() => undefined);
      continue;
    }
    const dueMs = ((lines[next]!.atS - nowS) / speed) * 1000;
    await wait(Math.max(BREATH_MS, Math.min(dueMs, 1000)));
  }
  if (broken !== null || signal.aborted) {
    socket.destroy();
    return { kind: 'partly', lines: next, says: broken ?? 'Ended before all was sent.' };
  }
  const closed = once(socket, 'close').catch(() => undefined);
  socket.end();
  await closed;
  return { kind: 'sent', lines: next };
}

/** A trace's lines from its header on, each with its time; fails with a sentence. */
async function timedLines(trace: string): Promise<Outcome<readonly TimedLine[], string>> {
  let bytes;
  try {
    bytes = await readFile(trace);
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code === undefined) throw error;
    return failed(`${trace} cannot be read (${code}).`);
  }
  const cutter = new LineCutter();
  const lines = [...cutter.take(bytes)];
  const rest = cutter.takeRest();
  if (rest !== '') lines.push(rest);
  const sorter = new RowSorter({ columns: null, mayBeCut: false });
  const timed: { line: string; time: number | null }[] = [];
  for (const line of lines) {
    const sorted = sorter.take(line);
    if (sorted === null) return failed(`${trace} has no header row with the names of its columns.`);
    if (sorter.columns === null) continue;
    const row = sorted.rows[0];
    timed.push({ line, time: row === undefined ? null : row.values[Math.max(0, sorter.timeAt)]! });
  }
  const times = timed.flatMap(({ time }) => time ?? []);
  const steps = times.slice(1).map((time, k) => time - times[k]!);
  const usual = median(steps.filter((step) => step > 0));
  if (times.length === 0) return failed(`${trace} holds no row of numbers.`);
  if (times.length > 1 && (usual === null || 2 * steps.filter((step) => step > 0).length <= steps.length))
    return failed(`${trace} has no column of times that go on, so that it is not known when its rows came.`);
  const perSecond = usual === null ? 1 : unitsPerSecond(usual);
  let latest = 0;
  return done(
    timed.map(({ line, time }) => {
      if (time !== null) latest = Math.max(latest, (time - times[0]!) / perSecond);
      return { line, atS: latest };
    }),
  );
}
