/** The calls of the contract for protocols and for running a testing day. */
import { z } from 'zod';
import { plainCode as code } from '../base/codes.ts';
import { call, change, dayId, path } from './call.ts';
import type { ProtocolSummary, ProtocolView } from '../protocol/versions.ts';
import { type ProtocolContent, protocolContent } from '../protocol/content.ts';
import { type DeckSetup, deckSetup, type DeckAct, deckAct } from '../deck/deck.ts';
import type { DeckView, DeckPulse, DeckArrivalView, DryRunView } from './deck.ts';
import type { RosterMatch } from '../lists/roster.ts';
import type { SectionMatch } from '../lists/sections.ts';
import type { CloseView } from '../deck/views.ts';
import type { JobView } from './views.ts';

const ofDay = z.strictObject({ day: dayId });

const toPath = z.strictObject({ day: dayId, path });

/** The text of a person's table, and which of its columns gives which field; null asks for a guess. */
const matching = z.strictObject({
  day: dayId,
  text: z.string().max(4_000_000),
  matching: z.record(z.string(), z.string()).nullable(),
});

export const DECK_CALLS = {
  'protocols.list': call<Record<string, never>, readonly ProtocolSummary[]>(z.strictObject({})),
  'protocols.get': call<{ protocol: string }, ProtocolView>(z.strictObject({ protocol: code })),
  /** Keeps the version being made as it stands on the screen; null discards it. A new code makes a new protocol. */
  'protocols.draft': call<{ protocol: string; draft: ProtocolContent | null }, ProtocolView>(
    z.strictObject({ protocol: code, draft: protocolContent.nullable() }),
  ),
  /** Ends the draft: it becomes the next version. Refused where it changes nothing. */
  'protocols.keep': call<{ protocol: string }, ProtocolView>(z.strictObject({ protocol: code })),
  /** Reads a protocol file; it becomes the draft of that code. */
  'protocols.import': call<{ protocol: string; text: string }, ProtocolView>(
    z.strictObject({ protocol: code, text: z.string().max(1_000_000) }),
  ),

  /** Begins a testing day from a kept version of a protocol. */
  'deck.new': call<
    { day: string; protocol: string; version: number; setup: DeckSetup },
    { readonly day: number }
  >(z.strictObject({ day: code, protocol: code, version: z.number().int().positive(), setup: deckSetup })),
  'deck.get': call<{ day: number }, DeckView>(ofDay, 'day'),
  'deck.pulse': call<{ day: number }, DeckPulse>(ofDay),
  /** One act of a person: one step of the day's history. */
  'deck.act': change<{ day: number; act: DeckAct }, DeckView>(
    z.strictObject({ day: dayId, act: deckAct }),
    'day',
  ),
  /** Watches a folder for the day's files; null stops. */
  'deck.watch': call<{ day: number; path: string | null }, DeckView>(
    z.strictObject({ day: dayId, path: path.nullable() }),
    'day',
  ),
  /** Stops the copying of a file of the watched folder, or lets a stopped one be taken after all. */
  'deck.file': call<{ day: number; name: string; take: boolean }, DeckView>(
    z.strictObject({ day: dayId, name: z.string().min(1).max(1000), take: z.boolean() }),
    'day',
  ),
  'deck.arrival': call<{ day: number; trial: string }, DeckArrivalView>(
    z.strictObject({ day: dayId, trial: code }),
  ),
  'deck.dryRun': call<{ day: number }, DryRunView>(ofDay),
  'deck.roster': call<
    { day: number; text: string; matching: Readonly<Record<string, string>> | null },
    RosterMatch
  >(matching),
  'deck.sections': call<
    { day: number; text: string; matching: Readonly<Record<string, string>> | null },
    SectionMatch
  >(matching),
  'deck.close': call<{ day: number }, CloseView>(ofDay),
  /** Copies the lab folder to a new folder below a chosen place and reads the copy back. */
  'deck.backup': call<{ day: number; path: string }, JobView>(toPath),
  /** Writes the day as a day folder and its dataset beside it, as the command line would. */
  'days.dataset': call<{ day: number; path: string }, JobView>(toPath),
} as const;
