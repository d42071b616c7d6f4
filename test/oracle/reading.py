"""Reading the text: dialects, cells, rows, and the list of what was refused."""
import csv
import io
import math
import os
import re

CODE = re.compile(r"^[A-Za-z0-9_.-]{1,64}$")
NUMBER = re.compile(r"^[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d+)?$")
MISSING = ("", "nan", "-")
HANDS = ("left", "right")


class Broken(Exception):
    """A row or a file that breaks a rule of the contract."""


def count_outside_quotes(line, mark):
    count, quoted = 0, False
    for ch in line:
        if ch == '"':
            quoted = not quoted
        elif ch == mark and not quoted:
            count += 1
    return count


def read_rows(path, named=()):
    """(separator, header cells, [(first physical line, cells)]) of one CSV; `named`: columns known to be in it."""
    with open(path, "rb") as handle:
        data = handle.read()
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise Broken("not UTF-8") from error
    if "\0" in text:
        raise Broken("not text")
    lines = list(io.StringIO(text, newline=""))
    skipped = 0
    while skipped < len(lines) and (
        lines[skipped].lstrip().startswith("#") or not lines[skipped].strip()
    ):
        skipped += 1
    if skipped == len(lines):
        raise Broken("empty")
    head = lines[skipped]
    # CHOICE: a column's name may hold a separator; the one under which the named columns appear wins.
    counts = [
        (
            1000 * sum(cell.strip() in named for cell in next(csv.reader([head], delimiter=mark)))
            + count_outside_quotes(head, mark),
            mark,
        )
        for mark in ("\t", ";", ",")
    ]
    best = max(count for count, _ in counts)
    separator = next(mark for count, mark in counts if count == best) if best else ","
    reader = csv.reader(io.StringIO("".join(lines[skipped:]), newline=""), delimiter=separator)
    rows, before = [], 0
    for cells in reader:
        first = skipped + before + 1
        before = reader.line_num
        # CHOICE: a wholly blank line is no row at all.
        if cells and not (len(cells) == 1 and not cells[0].strip()):
            rows.append((first, [cell.strip() for cell in cells]))
    return separator, rows[0][1], rows[1:]


def to_number(cell, separator):
    """A finite double, None for a missing one; Broken for anything else."""
    text = cell.strip()
    if text.lower() in MISSING:
        return None
    if separator != "," and "." not in text:
        text = text.replace(",", ".", 1)
    if not NUMBER.match(text):
        raise Broken("not a number: %r" % cell)
    value = float(text)
    if not math.isfinite(value):
        raise Broken("not finite: %r" % cell)
    return value


GUARDED = ("=", "+", "-", "@", "\t", "\r", "'")


def unguarded(cell):
    """A text cell without the apostrophe that keeps a spreadsheet from reading it as a formula."""
    return cell[1:] if cell[:1] == "'" and cell[1:2] in GUARDED and len(cell) > 1 else cell


def guarded(text):
    """The same cell as a dataset writes it."""
    return "'" + text if text.startswith(GUARDED) else text


class Row:
    def __init__(self, line, values, separator):
        self.line, self.values, self.separator = line, values, separator

    def text(self, name):
        return unguarded(self.values.get(name, ""))

    def number(self, name, needed=False, least=None):
        value = to_number(self.values.get(name, ""), self.separator)
        if value is None and needed:
            raise Broken("%s is missing" % name)
        if value is not None and least is not None and value < least:
            raise Broken("%s is below %s" % (name, least))
        return value

    def code(self, name, needed=False):
        value = self.text(name)
        if not value and not needed:
            return ""
        if not CODE.match(value):
            raise Broken("%s is not a code" % name)
        return value

    def one_of(self, name, choices, blank=None):
        value = self.text(name)
        if not value and blank is not None:
            return blank
        if value not in choices:
            raise Broken("%s is not one of %s" % (name, ", ".join(choices)))
        return value

    def whole(self, name, least, needed=True):
        value = self.number(name, needed)
        if value is None:
            return None
        if value != int(value) or value < least:
            raise Broken("%s is not a whole number from %d" % (name, least))
        return int(value)


class Refused:
    """What was left out. `must`: each of these lines; `any_of`: at least one of each group;
    `may`: what a program may list or not; `caused`: lines left out only because something else was
    refused, which stand as one row per file and cause, on a line of theirs or on none."""

    def __init__(self):
        self.must, self.any_of, self.may, self.caused = [], [], [], []

    def row(self, file, line, reason):
        self.must.append([file, line, reason])

    def group(self, pairs, reason):
        self.any_of.append({"pairs": [list(pair) for pair in pairs], "reason": reason})

    def allowed(self, file, line):
        self.may.append([file, line])

    def consequence(self, file, line, cause):
        self.caused.append([file, line, cause])


def read_table(folder, name, needed, refused):
    path = os.path.join(folder, name)
    if not os.path.exists(path):
        return []
    try:
        separator, header, rows = read_rows(path)
        if any(column not in header for column in needed):
            raise Broken("a column is missing")
    except Broken as error:
        refused.row(name, None, str(error))
        return []
    table = []
    for line, cells in rows:
        # CHOICE: a row with more or fewer cells than the header is broken (RFC 4180);
        # extra empty cells at its end are a spreadsheet's habit and pass.
        while len(cells) > len(header) and not cells[-1]:
            cells = cells[:-1]
        if len(cells) != len(header):
            refused.row(name, line, "%d cells for %d columns" % (len(cells), len(header)))
            continue
        table.append(Row(line, dict(zip(header, cells)), separator))
    return table


def inside(folder, relative):
    """The absolute path of a file named by the day; Broken if it leads out of the folder."""
    if os.path.isabs(relative) or "\\" in relative:
        raise Broken("the path leads out of the day folder")
    root = os.path.realpath(folder)
    path = os.path.realpath(os.path.join(root, relative))
    if os.path.commonpath([root, path]) != root:
        raise Broken("the path leads out of the day folder")
    return path
