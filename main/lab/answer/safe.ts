/** What every answer carries so that a page can do nothing but show our screens. */

import { createHash } from 'node:crypto';
import { CERTIFICATE_STYLE } from '../../../core/pages/certificate.ts';
import { PAGE_STYLE } from '../../../core/pages/page.ts';

// Pages to print stand alone, so their style sheets are in the page and known by their hashes.
const pageStyles = [CERTIFICATE_STYLE, PAGE_STYLE]
  .map((style) => `'sha256-${createHash('sha256').update(style).digest('base64')}'`)
  .join(' ');

// Charts and components set style attributes; all other style elements and any inline script stay forbidden.
const POLICY = [
  "default-src 'self'",
  "script-src 'self'",
  `style-src 'self' ${pageStyles}`,
  "style-src-attr 'unsafe-inline'",
  "img-src 'self' data: blob:",
  "media-src 'self' blob:",
  "worker-src 'self'",
  "frame-src 'none'",
  "object-src 'none'",
  "base-uri 'none'",
  "form-action 'none'",
  "frame-ancestors 'none'",
].join('; ');

/** Headers of every answer, refusals included. */
export const SAFE_HEADERS: Readonly<Record<string, string>> = {
  'content-security-policy': POLICY,
  'x-content-type-options': 'nosniff',
  'referrer-policy': 'no-referrer',
  'cross-origin-resource-policy': 'same-origin',
  'cross-origin-opener-policy': 'same-origin',
  'permissions-policy': 'camera=(), microphone=(), geolocation=(), usb=(), serial=(), hid=()',
  // Lab data does not belong in a browser's cache.
  'cache-control': 'no-store',
};

/** A refusal as one sentence of plain text. */
export function sentence(status: number, text: string): Response {
  const headers = { ...SAFE_HEADERS, 'content-type': 'text/plain; charset=utf-8' };
  return new Response(`${text}\n`, { status, headers });
}
