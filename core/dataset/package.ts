/**
 * The describing files of a dataset: datapackage.json, codebook and provenance. Sources: Data Package standard v2
 * (Table Schema), RFC 4180 for the tables. Nothing here depends on a clock, a locale or a folder.
 */
import type { DatasetTable } from './dataset.ts';
import type { Field } from './field.ts';
import { printRow, type Cell } from '../base/csv.ts';
import { LEFT_OUT } from './leftout.ts';
import { FLAG_MEANINGS } from '../stroke/flags.ts';

/** A table with what describes it. */
export interface DescribedTable {
  readonly name: string;
  readonly title: string;
  readonly fields: readonly Pick<Field<unknown>, 'name' | 'type' | 'unit' | 'description'>[];
  /** Fields that identify a row; none or absent where nothing does. */
  readonly key?: readonly string[];
}

/** A table as CSV: comma, LF, header first. */
export function printTable(
  table: Pick<DescribedTable, 'fields'> & { readonly rows: readonly (readonly Cell[])[] },
): string {
  let text = `${table.fields.map(({ name }) => name).join(',')}\n`;
  for (const row of table.rows) text += printRow(row);
  return text;
}

/** A file of the dataset that datapackage.json names, with its size and hash. */
export interface PackagedFile {
  readonly path: string;
  readonly bytes: number;
  readonly sha256: string;
}

/** datapackage.json of a day's dataset. */
export function dataPackage(
  day: string,
  version: string,
  tables: readonly DatasetTable[],
  files: ReadonlyMap<string, PackagedFile>,
): object {
  const about = { name: `lanebench-${day.toLowerCase()}`, title: `Front-crawl testing day ${day}`, day };
  return tablePackage(about, version, tables, files);
}

/**
 * A datapackage.json: Table Schema of every table, with unit and description per field.
 * @param about its name (lower case), its title, and whatever else it says of itself
 */
export function tablePackage(
  about: { readonly name: string; readonly title: string; readonly [key: string]: unknown },
  version: string,
  tables: readonly DescribedTable[],
  files: ReadonlyMap<string, PackagedFile>,
): object {
  const { name: ownName, title, ...more } = about;
  return {
    $schema: 'https://datapackage.org/profiles/2.0/datapackage.json',
    name: ownName,
    title,
    version,
    ...more,
    resources: tables.map((table) => {
      const file = files.get(table.name)!;
      return {
        name: table.name,
        type: 'table',
        path: file.path,
        title: table.title,
        format: 'csv',
        mediatype: 'text/csv',
        encoding: 'utf-8',
        bytes: file.bytes,
        hash: `sha256:${file.sha256}`,
        schema: {
          missingValues: [''],
          fields: table.fields.map(({ name, type, unit, description }) => ({
            name,
            type,
            description,
            ...(unit === '' ? {} : { unit }),
          })),
          ...(table.key === undefined || table.key.length === 0 ? {} : { primaryKey: table.key }),
        },
      };
    }),
  };
}

/** The codebook of a day, as Markdown: every field with its unit, and every flag with its meaning. */
export function codebook(day: string, version: string, tables: readonly DescribedTable[]): string {
  return codebookUnder(`Testing day ${day}`, version, tables);
}

/** The same under another title. */
export function codebookUnder(title: string, version: string, tables: readonly DescribedTable[]): string {
  const parts = [
    `# ${title}`,
    `Written by Lanebench ${version}. Training information, not a diagnosis.`,
    [
      'Comma-separated tables in UTF-8, decimal point, one header row. An empty cell was not given or cannot be',
      'computed; the reason stands in `flags`. Every `_u` is a standard uncertainty (JCGM 100); what each holds and what',
      'it leaves out is said below. Hand force is the force normal to the hand, not propulsion. An excluded trial is',
      'computed like any other. Swimmers without consent are nowhere in this dataset.',
    ].join('\n'),
    ...tables.map((table) =>
      [
        `## ${table.name}.csv: ${table.title}\n`,
        '| field | type | unit | meaning |',
        '| --- | --- | --- | --- |',
        ...table.fields.map(
          ({ name, type, unit, description }) => `| ${name} | ${type} | ${unit} | ${description} |`,
        ),
      ].join('\n'),
    ),
    [
      '## What an uncertainty holds, and what it leaves out\n',
      '| column | holds | leaves out |',
      '| --- | --- | --- |',
      ...LEFT_OUT.map(({ columns, holds, leavesOut }) => `| ${columns} | ${holds} | ${leavesOut} |`),
    ].join('\n'),
    [
      '## Flags\n',
      '| flag | meaning |',
      '| --- | --- |',
      ...FLAG_MEANINGS.map(([flag, meaning]) => `| ${flag} | ${meaning} |`),
    ].join('\n'),
    [
      '## Check\n',
      '`good`: every acceptance limit of the protocol holds. `swim_again`: a limit is broken, or there is no readable',
      'trace. `look`: a limit could not be judged, is broken outside the measured section only, or the clock or a sensor',
      'cannot be believed (`clock_doubtful`, `sensor_check_failed`). `check_reason` says which.',
    ].join('\n'),
  ];
  return `${parts.join('\n\n')}\n`;
}
