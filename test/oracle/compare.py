#!/usr/bin/env python3
"""Holds the program's dataset against the oracle's reading of the same day.

    compare.py OUT_DATASET ORACLE_JSON [--no-refused]

Numbers agree to 1e-6 relative (1e-9 absolute floor), text and emptiness exactly.
`refused` pairs must all be listed, one at least of every `refused_any_of` group, and
nothing besides these and `refused_may`. Prints every difference; the last line is
`N compared, N different`; exit status 1 where something differs.
"""
import csv
import json
import os
import sys

RELATIVE, ABSOLUTE = 1e-6, 1e-9
KEYS = {"calibrations": ("sensor",), "trials": ("trial",), "strokes": ("trial", "hand", "stroke")}


class Tally:
    def __init__(self):
        self.compared = self.different = 0

    def check(self, same, where, program, oracle):
        self.compared += 1
        if not same:
            self.different += 1
            print("%s: program %s, oracle %s" % (where, program, oracle))


def read(folder, name):
    path = os.path.join(folder, name)
    if not os.path.exists(path):
        return None
    with open(path, encoding="utf-8", newline="") as handle:
        return list(csv.DictReader(handle))


def agrees(cell, value):
    if value is None:
        return cell == ""
    if isinstance(value, bool):
        return cell == ("true" if value else "false")
    if isinstance(value, str):
        return cell == value
    try:
        number = float(cell)
    except ValueError:
        return False
    return abs(number - value) <= max(ABSOLUTE, RELATIVE * max(abs(number), abs(value)))


def compare_table(tally, folder, name, expected):
    rows = read(folder, name + ".csv")
    if rows is None:
        tally.check(False, name + ".csv", "not there", "%d rows" % len(expected))
        return
    found = {}
    for row in rows:
        key = "|".join(row.get(column) or "" for column in KEYS[name])
        if key in found:
            tally.check(False, "%s %s" % (name, key), "two rows", "one")
        found[key] = row
    for key in sorted(set(found) - set(expected)):
        tally.check(False, "%s %s" % (name, key), "a row", "none")
    for key, values in expected.items():
        row = found.get(key)
        if row is None:
            tally.check(False, "%s %s" % (name, key), "no row", "a row")
            continue
        for column, value in values.items():
            cell = row.get(column)
            where = "%s %s %s" % (name, key, column)
            if cell is None:
                tally.check(False, where, "no such column", repr(value))
            else:
                tally.check(agrees(cell, value), where, repr(cell), repr(value))


def pair(file, line):
    return "%s:%s" % (file, "" if line in (None, "") else int(line))


def compare_refused(tally, folder, oracle):
    rows = read(folder, "refused.csv")
    listed = {}
    for row in rows or []:
        listed[pair(row["file"], row["line"])] = row.get("reason", "")
    explained = {pair(*item) for item in oracle["refused_may"]}
    for file, line, reason in oracle["refused"]:
        name = pair(file, line)
        explained.add(name)
        tally.check(name in listed, "refused " + name, "not listed", repr(reason))
    for group in oracle["refused_any_of"]:
        names = {pair(*item) for item in group["pairs"]}
        explained |= names
        where = "refused one of " + " ".join(sorted(names))
        tally.check(bool(names & set(listed)), where, "none listed", repr(group["reason"]))
    for name in sorted(set(listed) - explained):
        tally.check(False, "refused " + name, repr(listed[name]), "not refused")


def main(arguments):
    wanted = [a for a in arguments if a != "--no-refused"]
    if len(wanted) != 2:
        print("compare.py OUT_DATASET ORACLE_JSON [--no-refused]", file=sys.stderr)
        return 2
    folder, path = wanted
    with open(path, encoding="utf-8") as handle:
        oracle = json.load(handle)
    tally = Tally()
    for name in KEYS:
        compare_table(tally, folder, name, oracle[name])
    if "--no-refused" not in arguments:
        compare_refused(tally, folder, oracle)
    print("%d compared, %d different" % (tally.compared, tally.different))
    return 1 if tally.different else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
