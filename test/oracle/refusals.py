"""Holds refused.csv against what the oracle says is refused.

The contract fixes the file and that a row is refused; neighbouring lines of one file with one
reason are one row, which names the last line and their number. What was left out only because
something else was refused stands as one row per file and cause.
"""
import csv
import os
import re


def read(folder, name):
    path = os.path.join(folder, name)
    if not os.path.exists(path):
        return None
    with open(path, encoding="utf-8", newline="") as handle:
        return list(csv.DictReader(handle))


def whole(line):
    return None if line in (None, "") else int(line)


def spans(rows, refused):
    """Every (file, line) that the rows speak for; a row that names a later line of the file and how
    many lines lie between stands for all refused lines from its own to that one."""
    listed = {}
    for row in rows:
        file, first, reason = row["file"], whole(row["line"]), row["reason"]
        listed.setdefault((file, first), reason)
        if first is None:
            continue
        numbers = {int(n) for n in re.findall(r"\d+", reason)}
        for last in sorted((n for n in numbers if n > first), reverse=True):
            inside = [line for name, line in refused if name == file and line is not None
                      and first <= line <= last]
            if (file, last) in refused and len(inside) in numbers:
                for line in inside:
                    listed.setdefault((file, line), reason)
                break
    return listed


def compare_refused(tally, folder, oracle):
    rows = read(folder, "refused.csv")
    if rows is None:
        tally.check(False, "refused.csv", "not there", "there")
        return
    must = {(file, whole(line)): reason for file, line, reason in oracle["refused"]}
    may = {(file, whole(line)) for file, line in oracle["refused_may"]}
    caused = {(file, whole(line)): cause for file, line, cause in oracle["refused_with"]}
    groups = [({(f, whole(n)) for f, n in group["pairs"]}, group["reason"])
              for group in oracle["refused_any_of"]]
    refused = set(must) | may | set(caused)
    listed = spans(rows, refused)
    for (file, line), reason in must.items():
        tally.check((file, line) in listed, "refused %s:%s" % (file, line), "not listed",
                    repr(reason), "refused")
    explained = refused | {(file, None) for file, _ in caused}
    for pairs, reason in groups:
        explained |= pairs
        names = " ".join(sorted("%s:%s" % pair for pair in pairs))
        tally.check(bool(pairs & set(listed)), "refused one of " + names, "none listed",
                    repr(reason), "refused")
    for file, line in sorted(listed, key=str):
        if (file, line) not in explained:
            tally.check(False, "refused %s:%s" % (file, line), repr(listed[file, line]),
                        "not refused", "refused")
    for file in sorted({file for file, _ in caused}):
        mine = {pair for pair in caused if pair[0] == file} | {(file, None)}
        causes = {cause for (name, _), cause in caused.items() if name == file}
        own = [row for row in rows if row["file"] == file
               and (file, whole(row["line"])) in mine - set(must)]
        tally.check(0 < len(own) <= len(causes), "refused %s, rows with their cause" % file,
                    "%d rows" % len(own), "one per cause, %d" % len(causes), "refused.caused")
    compare_order(tally, rows, set(must), set(caused) - set(must))


def plain(reason):
    """A reason without its values."""
    return re.sub(r"“[^”]*”|\"[^\"]*\"|[-+]?\d+([.,]\d+)?", "", reason)


def compare_order(tally, rows, must, caused):
    """Causes first, in the order of lines; neighbouring lines with one reason are one row."""
    place = {(row["file"], whole(row["line"])): at for at, row in enumerate(rows)}
    causes = [at for pair, at in place.items() if pair in must]
    effects = [at for pair, at in place.items() if pair in caused]
    tally.check(not causes or not effects or max(causes) < min(effects), "refused.csv",
                "what was left out with something else stands before a cause", "causes first",
                "refused.order")
    last = {}
    for row in rows:
        line = whole(row["line"])
        if line is None or (row["file"], line) not in must:
            continue
        before = last.get(row["file"])
        where = "refused %s:%s" % (row["file"], line)
        if before:
            tally.check(before[0] < line, where, "after line %d" % before[0], "in the order of lines",
                        "refused.order")
            one = line == before[0] + 1 and plain(row["reason"]) == plain(before[1])
            tally.check(not one, where, "a row beside its neighbour's", "one row for both",
                        "refused.grouping")
        last[row["file"]] = (line, row["reason"])
