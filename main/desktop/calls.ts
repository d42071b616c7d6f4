/** The one place where messages from a page come in. */
import { ipcMain, type IpcMainInvokeEvent } from 'electron';
import { isCallName } from '../../core/contract/contract.ts';
import type { Lab } from '../lab/kept/port.ts';
import { isOwnAddress } from './address.ts';
import { CHANNEL } from './channel.ts';

/** Carries calls of the app's own top frame to the lab; refuses all others. */
export function answerCalls(lab: Lab, onBug: (error: unknown) => void): void {
  ipcMain.handle(CHANNEL, async (event: IpcMainInvokeEvent, name: unknown, input: unknown) => {
    if (!isOwnFrame(event)) throw new Error('This call does not come from the app.');
    if (typeof name !== 'string' || !isCallName(name)) throw new Error('There is no such call.');
    try {
      const outcome = await lab.carry(name, input);
      // What JSON carries, as over the loopback: a screen meets the same values in both.
      return JSON.parse(JSON.stringify(outcome)) as unknown;
    } catch (error) {
      onBug(error);
      throw new Error('Lanebench met a fault of its own here. What was saved before is safe.', {
        cause: error,
      });
    }
  });
}

function isOwnFrame({ senderFrame }: IpcMainInvokeEvent): boolean {
  return senderFrame !== null && senderFrame.parent === null && isOwnAddress(senderFrame.url);
}
