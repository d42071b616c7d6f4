/**
 * What a schema's refusal says to a person, in place of the library's words: the end of a sentence that begins with
 * the field's name. Importing this sets it for every schema; a schema's own words come before it.
 */
import { z } from 'zod';

type Issue = Parameters<NonNullable<ReturnType<typeof z.config>['localeError']>>[0];

const KINDS: Readonly<Record<string, string>> = {
  string: 'text',
  number: 'a number',
  int: 'a whole number',
  boolean: 'true or false',
  array: 'a list',
  tuple: 'a list',
  object: 'named fields',
  record: 'named fields',
  map: 'named fields',
  null: 'null',
};

function says(issue: Issue): string {
  switch (issue.code) {
    case 'invalid_type':
      return issue.input === undefined
        ? 'is missing'
        : `takes ${KINDS[issue.expected] ?? 'another kind of value'}`;
    case 'invalid_value':
      return `takes ${issue.values.map((value) => JSON.stringify(value)).join(', ')}`;
    case 'too_small':
      return `must ${issue.inclusive === true ? 'be at least' : 'be above'} ${boundOf(issue.origin, issue.minimum)}`;
    case 'too_big':
      return `must ${issue.inclusive === true ? 'be at most' : 'be below'} ${boundOf(issue.origin, issue.maximum)}`;
    case 'not_multiple_of':
      return `takes multiples of ${issue.divisor}`;
    case 'unrecognized_keys':
      return `holds ${issue.keys.map((key) => `"${key}"`).join(', ')}, which has no meaning here`;
    case 'invalid_format':
      return 'is not written as it must be';
    default:
      return 'cannot be read';
  }
}

function boundOf(origin: string, bound: number | bigint): string {
  if (origin === 'string') return `${bound} characters`;
  return origin === 'array' || origin === 'set' ? `${bound} in number` : String(bound);
}

z.config({ localeError: says });
