/**
 * The rules of the Data Package standard v2 and of Table Schema (https://datapackage.org/standard/: data-package,
 * data-resource, table-schema), as far as they can be broken by a package of CSV tables. Written from the text of the
 * standard; shares nothing with the program.
 */
import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import Papa from 'papaparse';

const TYPES = new Set([
  'string',
  'number',
  'integer',
  'boolean',
  'object',
  'array',
  'list',
  'datetime',
  'date',
  'time',
  'year',
  'yearmonth',
  'duration',
  'geopoint',
  'geojson',
  'any',
]);

/** Lexical forms of Table Schema's default formats. */
const FORMS: Readonly<Record<string, RegExp>> = {
  integer: /^[+-]?\d+$/,
  number: /^([+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d+)?|NaN|-?INF)$/,
  boolean: /^(true|True|TRUE|1|false|False|FALSE|0)$/,
};

type Json = Readonly<Record<string, unknown>>;

/** What of a folder breaks the rules, a sentence each. */
export function packageFaults(folder: string): string[] {
  const faults: string[] = [];
  const must = (holds: boolean, says: string) => {
    if (!holds) faults.push(says);
  };
  const descriptor = JSON.parse(readFileSync(join(folder, 'datapackage.json'), 'utf8')) as Json;
  must(typeof descriptor['$schema'] === 'string' && URL.canParse(descriptor['$schema']), '$schema is a URL');
  must(/^[a-z0-9._-]+$/.test(String(descriptor['name'])), 'name is lower case and usable in a URL');
  const resources = descriptor['resources'] as readonly Json[];
  must(Array.isArray(resources) && resources.length > 0, 'resources is a list of at least one');
  const names = resources.map(({ name }) => name);
  must(new Set(names).size === names.length, 'names of resources are unique');
  for (const resource of resources)
    for (const fault of resourceFaults(folder, resource))
      faults.push(`${String(resource['name'])}: ${fault}`);
  return faults;
}

function resourceFaults(folder: string, resource: Json): string[] {
  const faults: string[] = [];
  const must = (holds: boolean, says: string) => {
    if (!holds) faults.push(says);
  };
  const path = String(resource['path']);
  must(typeof resource['name'] === 'string' && resource['name'] !== '', 'it has a name');
  must(
    resource['data'] === undefined && !path.startsWith('/') && !path.split('/').includes('..'),
    'path is relative and stays inside',
  );
  must(resource['type'] === 'table', 'type is table');
  must(resource['encoding'] === 'utf-8' && resource['mediatype'] === 'text/csv', 'encoding and media type');
  const bytes = readFileSync(join(folder, path));
  must(resource['bytes'] === bytes.length, 'bytes is the size of the file');
  const hash = createHash('sha256').update(bytes).digest('hex');
  must(resource['hash'] === `sha256:${hash}`, 'hash is the algorithm, a colon, and the hash of the file');
  const schema = resource['schema'] as Json;
  const fields = schema['fields'] as readonly Json[];
  const fieldNames = fields.map(({ name }) => String(name));
  must(new Set(fieldNames).size === fieldNames.length, 'names of fields are unique');
  for (const { name, type } of fields) must(TYPES.has(String(type)), `${String(name)} is of a known type`);
  const { data } = Papa.parse<string[]>(bytes.toString('utf8'), { skipEmptyLines: false });
  const [header = [], ...rest] = data;
  const rows = rest.filter((row) => row.length > 1 || row[0] !== '');
  must(
    JSON.stringify(header) === JSON.stringify(fieldNames),
    'the header has the fields, in order (fieldsMatch)',
  );
  const missing = new Set((schema['missingValues'] ?? ['']) as readonly string[]);
  for (const [line, row] of rows.entries()) {
    must(row.length === fields.length, `row ${line + 1} has a cell for each field`);
    fields.forEach(({ name, type }, k) => {
      const [cell, form] = [row[k]!, FORMS[String(type)]];
      must(
        missing.has(cell) || form === undefined || form.test(cell),
        `row ${line + 1}: ${String(name)} is "${cell}"`,
      );
    });
  }
  const given = (schema['primaryKey'] ?? []) as string | readonly string[];
  const key = typeof given === 'string' ? [given] : given;
  must(
    key.every((name) => fieldNames.includes(name)),
    'primaryKey names fields',
  );
  if (key.length > 0) {
    const keys = rows.map((row) => key.map((name) => row[fieldNames.indexOf(name)]!));
    must(
      keys.every((cells) => cells.every((cell) => !missing.has(cell))),
      'no cell of the primary key is missing',
    );
    must(
      new Set(keys.map((cells) => JSON.stringify(cells))).size === keys.length,
      'the primary key is unique',
    );
  }
  return faults;
}
