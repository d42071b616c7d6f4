/** The commands about one swimmer. */
import { isCode } from '../../core/base/table.ts';
import { placesFault, type Command } from './command.ts';

const HELP_PERSON = `lanebench person CODE --out OUT [--replace]

Writes all that the lab folder holds on one swimmer, and nothing of anybody else, as a folder to hand over to them: their
rows as they came in, traces, films, decisions, the numbers computed from their trials, and person.json with the SHA-256
of every file. It is given whatever they consent to; of who does not consent nothing is computed. Other swimmers are
called "another" where a text names them. OUT appears whole or not at all; it must be new or empty and outside the lab
folder.

  --replace   put the new folder in place of what is in OUT

Exit status: 0 all is there; 3 something is damaged or missing, or shared with another swimmer, the rest is there;
1 the lab folder holds nothing on CODE; 2 wrong usage.`;

const HELP_ERASE = `lanebench erase CODE --yes CODE

Erases a swimmer from the lab folder; it cannot be undone. Rows, traces, films, decisions about them and kept results
go; a table that others stand in is replaced by a copy with the swimmer's rows left blank. What rests on what was changed
is sealed again, and the chain of acts keeps a tombstone with each link as it was. The numbers of all others stay the
same. Copies of the lab file from before upgrades and repairs, and files put aside that hold the swimmer, go too. It is
recorded that an erasure was done, by whom, when and of how much, and not of whom.

What the program cannot reach is listed by name for you to deal with: frozen releases, backups, watched folders. Copies
that were exported, printed or sent are not known to the program. The code is asked twice: as CODE and after --yes. The
lab folder must not be open in a window: close it first.

Exit status: 0 erased; 3 erased, something that may hold the swimmer could not be read or reached; 1 nothing was
erased; 2 wrong usage.`;

function codeFault(name: string, codes: readonly string[]): string | null {
  const [code] = codes;
  if (codes.length !== 1 || code === undefined) return `"${name}" takes the code of one swimmer.`;
  return isCode(code) ? null : `"${code}" is no code of a swimmer.`;
}

export const PEOPLE_COMMANDS: readonly Command[] = [
  {
    name: 'person',
    help: HELP_PERSON,
    options: { out: { type: 'string' }, replace: { type: 'boolean' } },
    fault: (given) =>
      codeFault('person', given.positionals) ?? placesFault('person', 'the code of one swimmer', given),
    run: async ({ positionals, text, isSet }, terminal) =>
      (await import('./people.ts')).runPerson(
        { participant: positionals[0]!, out: text('out')!, replace: isSet('replace') },
        terminal,
      ),
  },
  {
    name: 'erase',
    help: HELP_ERASE,
    options: { yes: { type: 'string' } },
    fault: ({ positionals, text }) => {
      const fault = codeFault('erase', positionals);
      if (fault !== null) return fault;
      if (text('yes') === undefined)
        return `"erase" cannot be undone, so it asks twice: lanebench erase ${positionals[0]!} --yes ${positionals[0]!}`;
      return text('yes') === positionals[0]!
        ? null
        : 'The code after --yes is another one; nothing was erased.';
    },
    run: async ({ positionals }, terminal) =>
      (await import('./people.ts')).runErase(positionals[0]!, terminal),
  },
];
