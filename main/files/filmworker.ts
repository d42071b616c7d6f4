/** The worker that reads films: a path in, what {@link readFrames} gives out. */
import { parentPort } from 'node:worker_threads';
import { readFrames } from './filmframes.ts';

parentPort?.on('message', (absolute: string) => {
  void readFrames(absolute).then((outcome) => parentPort?.postMessage(outcome));
});
