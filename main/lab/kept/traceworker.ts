/** A worker that reads traces: an order in, {@link answerTrace}'s answer out, its memory handed over. */
import { parentPort } from 'node:worker_threads';
import { answerTrace, memoryOf, type TraceOrder } from './tracework.ts';

parentPort?.on('message', ({ number, order }: { readonly number: number; readonly order: TraceOrder }) => {
  void answerTrace(order).then((answer) =>
    parentPort?.postMessage({ number, answer }, memoryOf(answer)),
  );
});
