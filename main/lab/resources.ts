/** What a screen may fetch by its path: films, samples of trials and recordings, certificates. */
import { extname } from 'node:path';
import { DRY_RUN } from '../../core/deck/deck.ts';
import { PROTOCOL_SCHEMA_PATH } from '../../core/contract/addresses.ts';
import { readToken, sessionsOn } from './kept/blindsessions.ts';
import { certificate } from './bench/certificates.ts';
import { dryRunFilm, dryRunTrace } from './deck/deckdryrun.ts';
import { dayPage } from './deck/deckview.ts';
import type { Resource } from './kept/port.ts';
import { protocolResource, protocolSchema } from './protocols/protocols.ts';
import { recordingSamples } from './bench/recording.ts';
import type { Session } from './kept/session.ts';
import { findTrial, forceSamples, rawSamples, storedDay } from './kept/stored.ts';

const SAMPLES = /^\/(samples|raw)\/(\d+)\/([^/]+)\/(left|right)$/;
const FILM = /^\/(film)\/(\d+)\/([^/]+)\/([^/]+)$/;
const RECORDING = /^\/recording\/([0-9a-f]{64})\/(\d{1,6})$/;
const CERTIFICATE = /^\/certificate\/(\d{1,15})\.(html|pdf)$/;
const PROTOCOL = /^\/protocol\/([A-Za-z0-9_.-]{1,64})\/(\d{1,9})\.json$/;
const PAGE = /^\/page\/(\d{1,15})\/(log|sheets)\.(html|pdf)$/;
const MIME: Readonly<Record<string, string>> = {
  '.mp4': 'video/mp4',
  '.m4v': 'video/mp4',
  '.mov': 'video/quicktime',
  '.webm': 'video/webm',
};

/** The resource at a decoded path; null where there is none. */
export async function findResource(session: Session, path: string): Promise<Resource | null> {
  const recording = RECORDING.exec(path);
  if (recording !== null)
    return samplesResource(await recordingSamples(session, recording[1]!, Number(recording[2])));
  const printed = CERTIFICATE.exec(path);
  if (printed !== null) return certificate(session, Number(printed[1]), printed[2] as 'html' | 'pdf');
  const protocol = PROTOCOL.exec(path);
  if (protocol !== null) return protocolResource(session, protocol[1]!, Number(protocol[2]));
  if (path === PROTOCOL_SCHEMA_PATH) return protocolSchema();
  const page = PAGE.exec(path);
  if (page !== null)
    return dayPage(session, Number(page[1]), page[2] as 'log' | 'sheets', page[3] as 'html' | 'pdf');
  return ofTrial(session, path);
}

async function ofTrial(session: Session, path: string): Promise<Resource | null> {
  const [, kind, id, trial, which] = SAMPLES.exec(path) ?? FILM.exec(path) ?? [];
  if (id === undefined || trial === undefined || which === undefined) return null;
  if (trial === DRY_RUN) return ofDryRun(session, Number(id), kind!, which);
  const day = await storedDay(session, Number(id));
  if (!day.ok) return null;
  const entry = findTrial(day.value, trialBehind(session, Number(id), trial));
  if (!entry.ok) return null;
  if (kind !== 'film') {
    const samplesOf = kind === 'raw' ? rawSamples : forceSamples;
    return samplesResource(await samplesOf(session, day.value, entry.value, which as 'left' | 'right'));
  }
  const file = entry.value.films.get(which)?.file;
  const found = file === undefined ? null : await day.value.source.find(file);
  return found?.kind === 'file' ? filmResource(found.absolute, file!) : null;
}

/** The dry run is no trial of the day: its raw samples and its films only. */
async function ofDryRun(session: Session, id: number, kind: string, which: string): Promise<Resource | null> {
  if (kind === 'film') {
    const film = dryRunFilm(session, id, which);
    return film === null ? null : filmResource(film.absolute, film.name);
  }
  const trace = kind === 'raw' ? await dryRunTrace(session, id) : null;
  return samplesResource(trace?.[which as 'left' | 'right']?.raw ?? null);
}

function filmResource(absolute: string, name: string): Resource {
  return {
    kind: 'file',
    path: absolute,
    mime: MIME[extname(name).toLowerCase()] ?? 'application/octet-stream',
  };
}

/** The code of a trial, also where a path names it by a token of a second opinion. */
function trialBehind(session: Session, day: number, name: string): string {
  const token = readToken(name);
  if (token === null) return name;
  const record = sessionsOn(session, day).find(({ id }) => id === token.session);
  return record?.items.find(({ item }) => item === token.item)?.trial ?? name;
}

function samplesResource(samples: Float64Array | null): Resource | null {
  if (samples === null) return null;
  const bytes = new Uint8Array(samples.buffer as ArrayBuffer, samples.byteOffset, samples.byteLength);
  return { kind: 'bytes', bytes, mime: 'application/octet-stream' };
}
