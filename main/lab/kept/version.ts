import about from '../../../package.json' with { type: 'json' };

/** The program's version, written into every dataset. */
export const VERSION = about.version;
