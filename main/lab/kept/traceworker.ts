/** A worker that reads traces: an order in, {@link answerTrace}'s answer out, its memory handed over. */
import { parentPort } from 'node:worker_threads';
import { giveSeries } from '../../../core/base/series.ts';
import { answerTrace, memoryOf, type TraceOrder } from './tracework.ts';

/** An order, and memory of earlier answers that may be filled again. */
export interface TraceMessage {
  readonly number: number;
  readonly order: TraceOrder;
  readonly spare: readonly ArrayBuffer[];
}

parentPort?.on('message', ({ number, order, spare }: TraceMessage) => {
  for (const memory of spare) giveSeries(memory);
  void answerTrace(order).then((answer) =>
    parentPort?.postMessage({ number, answer }, answer.ok ? memoryOf(answer.value) : []),
  );
});
