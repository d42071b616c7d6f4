/** What a screen may fetch by its path: films, samples of trials and recordings, certificates. */
import { extname } from 'node:path';
import { DRY_RUN } from '../../core/deck/deck.ts';
import { readAddress, type Address } from '../../core/contract/addresses.ts';
import { readToken, sessionsOn } from './kept/blindsessions.ts';
import { certificate } from './bench/certificates.ts';
import { dryRunFilm, dryRunTrace } from './deck/deckdryrun.ts';
import { dayPage } from './deck/deckview.ts';
import { trialFile } from './findings/trialfile.ts';
import type { Resource } from './kept/port.ts';
import { protocolResource, protocolSchema } from './protocols/protocols.ts';
import { recordingSamples } from './bench/recording.ts';
import type { Session } from './kept/session.ts';
import { findTrial, keptDay } from './kept/keptday.ts';
import { forceSamples, rawSamples } from './kept/outcome.ts';

const MIME: Readonly<Record<string, string>> = {
  '.mp4': 'video/mp4',
  '.m4v': 'video/mp4',
  '.mov': 'video/quicktime',
  '.webm': 'video/webm',
};

/** The resource at a decoded path; null where there is none. */
export async function findResource(session: Session, path: string): Promise<Resource | null> {
  const address = readAddress(path);
  if (address === null) return null;
  switch (address.of) {
    case 'trialFile':
      return trialFile(session, address.day, address.trial, address.format);
    case 'recording':
      return samplesResource(await recordingSamples(session, address.sha256, address.column));
    case 'certificate':
      return certificate(session, address.calibration, address.kind);
    case 'protocol':
      return protocolResource(session, address.protocol, address.version);
    case 'protocolSchema':
      return protocolSchema();
    case 'page':
      return dayPage(session, address.day, address.page, address.kind);
    default:
      return address.trial === DRY_RUN ? ofDryRun(session, address) : ofTrial(session, address);
  }
}

type OfTrial = Extract<Address, { of: 'samples' | 'raw' | 'film' }>;

async function ofTrial(session: Session, address: OfTrial): Promise<Resource | null> {
  const day = await keptDay(session, address.day);
  if (!day.ok) return null;
  const entry = findTrial(day.value, trialBehind(session, address.day, address.trial));
  if (!entry.ok) return null;
  if (address.of !== 'film') {
    const samplesOf = address.of === 'raw' ? rawSamples : forceSamples;
    return samplesResource(await samplesOf(session, day.value, entry.value, address.hand));
  }
  const file = entry.value.films.get(address.camera)?.file;
  const found = file === undefined ? null : await day.value.source.find(file);
  return found?.kind === 'file' ? filmResource(found.absolute, file!) : null;
}

/** The dry run is no trial of the day: its raw samples and its films only. */
async function ofDryRun(session: Session, address: OfTrial): Promise<Resource | null> {
  if (address.of === 'film') {
    const film = await dryRunFilm(session, address.day, address.camera);
    return film === null ? null : filmResource(film.absolute, film.name);
  }
  const trace = address.of === 'raw' ? await dryRunTrace(session, address.day) : null;
  return samplesResource(trace?.[address.hand]?.raw ?? null);
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
