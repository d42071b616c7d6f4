/** The text of a table that a person chose: UTF-8 with or without BOM, UTF-16 with BOM, else the Windows code page. */

/** The most characters that the lab reads of a pasted or chosen table. */
const MOST_CHARACTERS = 4_000_000;

export function decodeTable(bytes: Uint8Array): string {
  if (bytes[0] === 0xff && bytes[1] === 0xfe) return new TextDecoder('utf-16le').decode(bytes);
  if (bytes[0] === 0xfe && bytes[1] === 0xff) return new TextDecoder('utf-16be').decode(bytes);
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    return new TextDecoder('windows-1252').decode(bytes);
  }
}

/** Why a text cannot be read as a table; null where it can be tried. */
export function tableFault(text: string): string | null {
  if (text.trim() === '')
    return 'There is nothing in it. Paste the table with its header row, or choose its file.';
  return text.length > MOST_CHARACTERS
    ? 'It is longer than 4 million characters; a roster is a short table. Choose another file.'
    : null;
}
