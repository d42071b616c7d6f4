/** What the main process and the preload agree on. */

/** The one channel between them; it carries every call of the contract. */
export const CHANNEL = 'lanebench:call';
