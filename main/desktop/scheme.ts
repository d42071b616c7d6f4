/** The app's own scheme instead of file: addresses: it answers what the loopback server answers, calls excepted. */
import { protocol } from 'electron';
import type { Respond } from '../lab/answer/respond.ts';
import { sentence } from '../lab/answer/safe.ts';
import { isOwnAddress, SCHEME } from './address.ts';

/** To be called before the app is ready. */
export function claimScheme(): void {
  protocol.registerSchemesAsPrivileged([
    { scheme: SCHEME, privileges: { standard: true, secure: true, supportFetchAPI: true, stream: true } },
  ]);
}

export function answerScheme(respond: Respond): void {
  protocol.handle(SCHEME, async (request) =>
    isOwnAddress(request.url) ? respond(request) : sentence(404, 'There is nothing at this address.'),
  );
}
