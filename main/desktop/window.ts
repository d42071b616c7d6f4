/** The app's one window. */
import { BrowserWindow, dialog, screen } from 'electron';
import { START_PAGE } from './address.ts';
import { readWindowState, SMALLEST, writeWindowState } from './windowstate.ts';

interface WindowOptions {
  readonly home: string;
  readonly preload: string;
  /** Where in the app it arrives: empty, or from `#` on. */
  readonly fragment: string;
}

export function openWindow({ home, preload, fragment }: WindowOptions): BrowserWindow {
  const areas = screen.getAllDisplays().map((display) => display.workArea);
  const state = readWindowState(home, areas);
  const window = new BrowserWindow({
    ...state.at,
    width: state.width,
    height: state.height,
    minWidth: SMALLEST.width,
    minHeight: SMALLEST.height,
    title: 'Lanebench',
    backgroundColor: '#FBFAF7',
    show: false,
    webPreferences: {
      preload,
      contextIsolation: true,
      sandbox: true,
      nodeIntegration: false,
      nodeIntegrationInWorker: false,
      nodeIntegrationInSubFrames: false,
      webSecurity: true,
      allowRunningInsecureContent: false,
      experimentalFeatures: false,
      webviewTag: false,
    },
  });
  if (state.maximized) window.maximize();
  window.once('ready-to-show', () => window.show());
  window.on('close', () => writeWindowState(home, window.getNormalBounds(), window.isMaximized()));
  watchHealth(window);
  void window.loadURL(START_PAGE + fragment);
  return window;
}

/** A page that died or hangs is said so, with a way on; nothing saved depends on it. */
function watchHealth(window: BrowserWindow): void {
  const offer = async (message: string, wait: string) => {
    const { response } = await dialog.showMessageBox(window, {
      type: 'warning',
      message,
      detail: 'Every decision shown as saved is kept.',
      buttons: ['Load the screens again', wait],
      defaultId: 0,
      cancelId: 1,
    });
    if (response === 0 && !window.isDestroyed()) window.webContents.reload();
  };
  window.webContents.on('render-process-gone', (_event, details) => {
    if (details.reason !== 'clean-exit') void offer(`The screens have stopped (${details.reason}).`, 'Leave');
  });
  window.on('unresponsive', () => void offer('The screens do not answer.', 'Wait'));
}
