/**
 * As much of Electron as the desktop host uses, without windows. Values cross between page and main process by
 * structured clone, as in Electron; everything asked of it is on record for the tests.
 */
import { EventEmitter } from 'node:events';

type Listener = (...args: never[]) => unknown;

class FakeApp extends EventEmitter {
  readonly paths = new Map<string, string>();
  readonly exits: number[] = [];
  quits = 0;
  sandboxed = false;
  ready = true;
  first = true;
  enableSandbox() {
    this.sandboxed = true;
  }
  setPath(name: string, path: string) {
    this.paths.set(name, path);
  }
  requestSingleInstanceLock() {
    return this.first;
  }
  whenReady() {
    return new Promise<void>((resolve) => setImmediate(resolve));
  }
  /** As Electron: windows close, then `will-quit`, which may put it off, then `quit`. */
  quit() {
    this.quits++;
    for (const window of BrowserWindow.all.splice(0)) window.emit('close');
    const event = happening();
    this.emit('will-quit', event);
    if (!event.prevented) this.emit('quit', event, 0);
  }
  exit(code: number) {
    this.exits.push(code);
    this.emit('quit', happening(), code);
  }
}

export interface Happening {
  readonly url: string;
  prevented: boolean;
  readonly preventDefault: () => void;
}

export function happening(url = ''): Happening {
  const event: Happening = { url, prevented: false, preventDefault: () => (event.prevented = true) };
  return event;
}

export const app = new FakeApp();

export class WebContents extends EventEmitter {
  windowOpen: (details: { url: string }) => { action: string } = () => ({ action: 'allow' });
  reloads = 0;
  setWindowOpenHandler(handler: (details: { url: string }) => { action: string }) {
    this.windowOpen = handler;
  }
  reload() {
    this.reloads++;
  }
}

export class BrowserWindow extends EventEmitter {
  static readonly all: BrowserWindow[] = [];
  readonly webContents = new WebContents();
  readonly loaded: string[] = [];
  readonly did: string[] = [];
  readonly options: Record<string, unknown> & { webPreferences: Record<string, unknown> };
  constructor(options: Record<string, unknown> & { webPreferences: Record<string, unknown> }) {
    super();
    this.options = options;
    BrowserWindow.all.push(this);
    app.emit('web-contents-created', happening(), this.webContents);
  }
  async loadURL(url: string) {
    this.loaded.push(url);
  }
  maximize() {
    this.did.push('maximize');
  }
  show() {
    this.did.push('show');
  }
  focus() {
    this.did.push('focus');
  }
  restore() {
    this.did.push('restore');
  }
  isMinimized() {
    return true;
  }
  isMaximized() {
    return false;
  }
  isDestroyed() {
    return false;
  }
  getNormalBounds() {
    return { x: 40, y: 50, width: 1000, height: 700 };
  }
}

const handlers = new Map<string, Listener>();

export const ipcMain = {
  handle(channel: string, listener: Listener) {
    if (handlers.has(channel)) throw new Error(`A second handler for ${channel}`);
    handlers.set(channel, listener);
  },
  channels: () => [...handlers.keys()],
};

export type Frame = { readonly url: string; readonly parent: object | null } | null;

/** The frame from which the fake page sends. */
export const page: { frame: Frame } = { frame: { url: 'lanebench://app/', parent: null } };

export const ipcRenderer = {
  async invoke(channel: string, ...args: unknown[]): Promise<unknown> {
    const handler = handlers.get(channel) as ((...all: unknown[]) => unknown) | undefined;
    if (handler === undefined) throw new Error(`No handler registered for '${channel}'`);
    try {
      return structuredClone(await handler({ senderFrame: page.frame }, ...structuredClone(args)));
    } catch (error) {
      throw new Error(`Error invoking remote method '${channel}': ${String(error)}`, { cause: error });
    }
  },
};

/** What the preload gave to the page. */
export const world = new Map<string, Record<string, (...args: unknown[]) => Promise<unknown>>>();

export const contextBridge = {
  exposeInMainWorld(name: string, api: Record<string, (...args: unknown[]) => Promise<unknown>>) {
    world.set(name, api);
  },
};

type Handle = (request: Request) => Promise<Response>;

export const schemes: { scheme: string; privileges: Record<string, boolean> }[] = [];
const protocolHandlers = new Map<string, Handle>();

export const protocol = {
  registerSchemesAsPrivileged(list: typeof schemes) {
    schemes.push(...list);
  },
  handle(scheme: string, handler: Handle) {
    protocolHandlers.set(scheme, handler);
  },
  /** The fake page fetches. */
  fetch(request: Request): Promise<Response> {
    const handler = protocolHandlers.get(new URL(request.url).protocol.slice(0, -1));
    if (handler === undefined) throw new Error(`No handler for ${request.url}`);
    return handler(request);
  },
};

class FakeSession extends EventEmitter {
  request: ((contents: unknown, permission: string, answer: (yes: boolean) => void) => void) | null = null;
  check: ((contents: unknown, permission: string) => boolean) | null = null;
  device: (() => boolean) | null = null;
  before: ((details: { url: string }, answer: (verdict: { cancel: boolean }) => void) => void) | null = null;
  setPermissionRequestHandler(handler: NonNullable<FakeSession['request']>) {
    this.request = handler;
  }
  setPermissionCheckHandler(handler: (contents: unknown, permission: string) => boolean) {
    this.check = handler;
  }
  setDevicePermissionHandler(handler: () => boolean) {
    this.device = handler;
  }
  readonly webRequest = {
    onBeforeRequest: (handler: NonNullable<FakeSession['before']>) => {
      this.before = handler;
    },
  };
}

export const session = { defaultSession: new FakeSession() };

export const screen = {
  displays: [{ workArea: { x: 0, y: 0, width: 1920, height: 1040 } }],
  getAllDisplays() {
    return this.displays;
  },
};

export const dialog = {
  errors: [] as string[],
  asked: [] as string[],
  answer: 0,
  showErrorBox(title: string, text: string) {
    this.errors.push(`${title}: ${text}`);
  },
  async showMessageBox(_window: unknown, options: { message: string }) {
    this.asked.push(options.message);
    return { response: this.answer };
  },
};

export const Menu = {
  template: null as unknown,
  buildFromTemplate: (template: unknown) => template,
  setApplicationMenu(menu: unknown) {
    this.template = menu;
  },
};

/** Back to the state before anything was started; what the preload gave stays, as a module runs once. */
export function resetElectron(): void {
  app.removeAllListeners();
  app.paths.clear();
  app.exits.length = 0;
  app.quits = 0;
  app.first = true;
  app.sandboxed = false;
  BrowserWindow.all.length = 0;
  handlers.clear();
  protocolHandlers.clear();
  schemes.length = 0;
  dialog.errors.length = 0;
  dialog.asked.length = 0;
  dialog.answer = 0;
  page.frame = { url: 'lanebench://app/', parent: null };
  session.defaultSession.removeAllListeners();
}
