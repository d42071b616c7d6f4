/** The page's only way to the lab: one function, no Electron and no Node. */
import { contextBridge, ipcRenderer } from 'electron';
import { CHANNEL } from './channel.ts';

contextBridge.exposeInMainWorld('lanebench', {
  call: (name: string, input: unknown): Promise<unknown> => ipcRenderer.invoke(CHANNEL, name, input),
});
