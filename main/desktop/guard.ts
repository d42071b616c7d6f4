/** Everything a page could ask of the desktop beyond the app itself is denied. */
import { app, type Session, type WebContents } from 'electron';
import { isCertificate, isOwnBlob, isStartPage, SCHEME } from './address.ts';

// `devtools:` is the inspector a developer opens; `data:` and `blob:` are made inside the page.
const LOADABLE = new Set([`${SCHEME}:`, 'data:', 'blob:', 'devtools:']);

/** Putting something on the clipboard; reading it is another permission. */
const COPYING = 'clipboard-sanitized-write';

/** A certificate's window shows the browser's own viewer for its PDF; its pages run no script of ours. */
const CERTIFICATE_PREFERENCES = {
  contextIsolation: true,
  sandbox: true,
  nodeIntegration: false,
  plugins: true,
} as const;

/** Applies to every page there will ever be in this process. */
export function guardPages(): void {
  app.on('web-contents-created', (_event, contents) => guardPage(contents));
}

function guardPage(contents: WebContents): void {
  const stay = (event: { url: string; preventDefault: () => void }) => {
    if (!isStartPage(event.url)) event.preventDefault();
  };
  contents.on('will-navigate', stay);
  contents.on('will-frame-navigate', stay);
  contents.on('will-redirect', stay);
  contents.on('will-attach-webview', (event) => event.preventDefault());
  contents.setWindowOpenHandler(({ url }) =>
    isCertificate(url)
      ? { action: 'allow', overrideBrowserWindowOptions: { webPreferences: CERTIFICATE_PREFERENCES } }
      : { action: 'deny' },
  );
}

/** No permission but copying a picture, no device, no download but of a certificate or what the app has made, and no address but the app's own. */
export function guardSession(session: Session): void {
  const granted = (permission: string) => permission === COPYING;
  session.setPermissionRequestHandler((_contents, permission, answer) => answer(granted(permission)));
  session.setPermissionCheckHandler((_contents, permission) => granted(permission));
  session.setDevicePermissionHandler(() => false);
  session.on('will-download', (event, item) => {
    if (!isCertificate(item.getURL()) && !isOwnBlob(item.getURL())) event.preventDefault();
  });
  session.webRequest.onBeforeRequest((details, answer) => {
    answer({ cancel: !LOADABLE.has(URL.parse(details.url)?.protocol ?? '') });
  });
}
