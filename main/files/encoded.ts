/**
 * Small tables in the encodings that a lab's programs write: told by their byte order mark, else by whoever names one,
 * else UTF-8. Encodings and their labels: WHATWG Encoding Standard.
 */
import { readFile, stat } from 'node:fs/promises';
import { quoted } from '../../core/base/plaintext.ts';
import { done, failed, type Outcome } from '../../core/base/refusal.ts';

/** The largest table that is read, bytes. */
const MOST_BYTES = 1 << 26;

const MARKS: readonly (readonly [string, readonly number[]])[] = [
  ['utf-8', [0xef, 0xbb, 0xbf]],
  ['utf-16le', [0xff, 0xfe]],
  ['utf-16be', [0xfe, 0xff]],
];

/** Other spellings of labels that the standard has. */
const ALSO: Readonly<Record<string, string>> = {
  'latin-1': 'latin1',
  'latin-9': 'iso-8859-15',
  latin9: 'iso-8859-15',
  utf16: 'utf-16le',
  'utf-16-le': 'utf-16le',
  'utf-16-be': 'utf-16be',
  'windows-ansi': 'windows-1252',
  ansi: 'windows-1252',
  mac_roman: 'macintosh',
  'mac-roman': 'macintosh',
};

/** The decoder of a label; null where there is no such encoding. */
function decoderOf(label: string): TextDecoder | null {
  const plain = label.trim().toLowerCase();
  const named = ALSO[plain] ?? plain.replace(/^cp[-_ ]?(?=125\d$)/, 'windows-').replaceAll('_', '-');
  try {
    return new TextDecoder(named, { fatal: true });
  } catch {
    return null;
  }
}

/** The text of bytes; the failure is the end of a sentence that begins with the file's name. */
export function decodeText(bytes: Uint8Array, encoding: string | null): Outcome<string, string> {
  const marked = MARKS.find(([, mark]) => mark.every((byte, at) => bytes[at] === byte))?.[0];
  const label = marked ?? encoding ?? 'utf-8';
  const decoder = decoderOf(label);
  if (decoder === null)
    return failed(
      `is said to be in ${quoted(label)}, an encoding that is not known here; name one such as "windows-1252", "iso-8859-1" or "utf-16le"`,
    );
  try {
    return done(decoder.decode(bytes));
  } catch {
    const todo =
      marked === undefined && encoding === null
        ? 'name its encoding in the map, such as "encoding": "windows-1252"'
        : 'name the encoding that it was saved in';
    return failed(`is no text in ${label.toUpperCase()}; ${todo}`);
  }
}

/** Reads a small file as text; the failure is the end of a sentence that begins with its name. */
export async function readEncoded(
  absolute: string,
  encoding: string | null,
): Promise<Outcome<string, string>> {
  try {
    const { size } = await stat(absolute);
    if (size > MOST_BYTES)
      return failed(`holds ${size} bytes, and a table of at most ${MOST_BYTES} is read; it may be no table`);
    return decodeText(await readFile(absolute), encoding);
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code === undefined) throw error;
    return failed(`cannot be read (${code}); see that it is whole and that you may read it`);
  }
}
