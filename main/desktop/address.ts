/** The app's own address inside the desktop window. */

export const SCHEME = 'lanebench';
export const START_PAGE = `${SCHEME}://app/`;

/** True for an address of the app itself, compared by parts: a prefix would let `lanebench://app.elsewhere` in. */
export function isOwnAddress(address: string): boolean {
  const url = URL.parse(address);
  return (
    url !== null &&
    url.protocol === `${SCHEME}:` &&
    url.host === 'app' &&
    url.username === '' &&
    url.password === ''
  );
}

/** True for a calibration's certificate: a page without a script, the one thing beside the app that a window may show. */
export function isCertificate(address: string): boolean {
  const url = URL.parse(address);
  return isOwnAddress(address) && url !== null && /^\/certificate\/\d+\.(html|pdf)$/.test(url.pathname);
}

/** True for something that the app itself has made to be saved, such as a picture of a plot. */
export function isOwnBlob(address: string): boolean {
  return address.startsWith(`blob:${START_PAGE}`);
}

/** True for the start page, wherever in the app (after `#`) it stands. */
export function isStartPage(address: string): boolean {
  const url = URL.parse(address);
  return isOwnAddress(address) && url !== null && url.pathname === '/' && url.search === '';
}
