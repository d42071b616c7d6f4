/** Programs that ride along in an export and read its tables: Python with pandas, base R. */
import type { DescribedTable } from './package.ts';

/** Returns load.py: it takes the types of columns from datapackage.json. */
export function pythonLoader(): string {
  return `"""Reads the tables of this folder as pandas data frames.

    python3 load.py                prints how many rows each table has
    from load import load          tables = load("path of this folder")

Text columns are strings, whole numbers Int64, numbers float64, true and false boolean; an empty cell is missing.
"""
import json
import re
import sys
from pathlib import Path

import pandas as pd

# A text that a spreadsheet would run carries one apostrophe before it.
GUARDED = re.compile(r"'[=+\\-@\\t\\r']")


def column(cells, kind):
    empty = cells == ""
    if kind == "string":
        texts = cells.map(lambda text: text[1:] if GUARDED.match(text) else text)
        return texts.mask(empty, None)
    if kind == "boolean":
        return (cells == "true").astype("boolean").mask(empty)
    if kind == "integer":
        return cells.mask(empty, None).map(int, na_action="ignore").astype("Int64")
    return cells.mask(empty, "nan").map(float).astype("float64")


def load(folder=Path(__file__).parent):
    folder = Path(folder)
    described = json.loads((folder / "datapackage.json").read_text(encoding="utf-8"))
    tables = {}
    for resource in described["resources"]:
        cells = pd.read_csv(folder / resource["path"], dtype=str, keep_default_na=False, encoding="utf-8")
        for field in resource["schema"]["fields"]:
            cells[field["name"]] = column(cells[field["name"]], field["type"])
        tables[resource["name"]] = cells
    return tables


if __name__ == "__main__":
    for name, table in load(*sys.argv[1:2]).items():
        print(name, len(table))
`;
}

const R_TYPES = { string: 'text', integer: 'whole', number: 'number', boolean: 'logical' } as const;

/** Returns load.R; base R reads no JSON, so the types of columns stand in it. */
export function rLoader(tables: readonly DescribedTable[]): string {
  const columns = tables.map(({ name, fields }) => {
    const own = fields.map((field) => `    ${field.name} = "${R_TYPES[field.type]}"`);
    return `  ${name} = c(\n${own.join(',\n')}\n  )`;
  });
  return `# Reads the tables of this folder as data frames, with base R.
#
#   Rscript load.R                 prints how many rows each table has
#   source("load.R")               tables <- load_tables("path of this folder")
#
# Text columns are character, whole numbers and numbers numeric, true and false logical; an empty cell is NA.

columns <- list(
${columns.join(',\n')}
)

read_column <- function(cells, kind) {
  if (kind == "text") {
    # A text that a spreadsheet would run carries one apostrophe before it.
    guarded <- grepl("^'[=+@\\t\\r'-]", cells)
    cells[guarded & !is.na(cells)] <- substring(cells[guarded & !is.na(cells)], 2)
    return(cells)
  }
  if (kind == "logical") return(cells == "true")
  as.numeric(cells)
}

load_tables <- function(folder = ".") {
  there <- Filter(function(name) file.exists(file.path(folder, paste0(name, ".csv"))), names(columns))
  tables <- lapply(there, function(name) {
    cells <- read.csv(
      file.path(folder, paste0(name, ".csv")),
      colClasses = "character", na.strings = "", check.names = FALSE, fileEncoding = "UTF-8"
    )
    for (field in names(columns[[name]])) {
      cells[[field]] <- read_column(cells[[field]], columns[[name]][[field]])
    }
    cells
  })
  setNames(tables, there)
}

if (sys.nframe() == 0) {
  given <- commandArgs(trailingOnly = TRUE)
  for (name in names(tables <- load_tables(if (length(given) > 0) given[1] else "."))) {
    cat(name, nrow(tables[[name]]), "\\n")
  }
}
`;
}
