#!/usr/bin/env python3
"""Many invented days, read by the program and by the oracle, held against each other.

    many_days.py NODE FROM TO [--keep FOLDER]

Days plain-N and dirty-N for N from FROM to TO; NODE is the Node that runs `lanebench process`
of this tree. Each day that differs is printed and, with --keep, kept. Exit status 1 where
something differs.
"""
import contextlib
import io
import json
import os
import shutil
import subprocess
import sys
import tempfile

import compare
import make_days
import oracle

ROOT = os.path.dirname(os.path.dirname(os.path.dirname(os.path.abspath(__file__))))


def unread(day, reading):
    """What the maker broke and the oracle did not refuse: a fault of one of these two."""
    path = day + ".broken.json"
    if not os.path.exists(path):
        return []
    with open(path, encoding="utf-8") as handle:
        broken = json.load(handle)
    refused = {(file, line) for file, line, *_ in
               reading["refused"] + reading["refused_may"] + reading["refused_with"]}
    for group in reading["refused_any_of"]:
        refused |= {tuple(pair) for pair in group["pairs"]}
    return [item for item in broken if (item["file"], item["line"]) not in refused]


def one(node, folder, name, tally):
    day = make_days.make(folder, name)
    out, path = day + ".out", day + ".json"
    reading = oracle.read_day(day)
    with open(path, "w", encoding="utf-8") as handle:
        json.dump(reading, handle)
    for item in unread(day, reading):
        tally.check(False, "%s:%s" % (item["file"], item["line"]), "-", "not refused: " + item["what"])
    program = subprocess.run(
        [node, os.path.join(ROOT, "main/cli/lanebench.ts"), "process", day, "--out", out],
        capture_output=True, text=True, check=False)
    if program.returncode not in (0, 3):
        tally.check(program.returncode == 1 and not reading["trials"], "exit status",
                    "%d %s" % (program.returncode, program.stderr.strip()[-300:]), "0 or 3")
        return
    compare.compare_day(tally, out, path)
    refused = compare.read(out, "refused.csv")
    tally.check(program.returncode == (3 if refused else 0), "exit status",
                program.returncode, "3 where something is refused, else 0")


def main(arguments):
    keep = None
    if "--keep" in arguments:
        at = arguments.index("--keep")
        keep = arguments[at + 1]
        arguments = arguments[:at] + arguments[at + 2 :]
    if len(arguments) != 3:
        print(__doc__.strip().splitlines()[2].strip(), file=sys.stderr)
        return 2
    node, first, last = arguments[0], int(arguments[1]), int(arguments[2])
    tally, bad = compare.Tally(), 0
    folder = keep or tempfile.mkdtemp(prefix="lanebench-days-")
    os.makedirs(folder, exist_ok=True)
    for seed in range(first, last + 1):
        for kind in ("plain", "dirty"):
            name, before = "%s-%d" % (kind, seed), tally.different
            tally.name = name
            said = io.StringIO()
            with contextlib.redirect_stdout(said):
                one(node, folder, name, tally)
            print(said.getvalue(), end="", flush=True)
            bad += tally.different > before
            if not keep or tally.different == before:
                for path in os.listdir(folder):
                    if path == name or path.startswith((name + ".",)):
                        whole = os.path.join(folder, path)
                        shutil.rmtree(whole) if os.path.isdir(whole) else os.remove(whole)
    if not keep:
        shutil.rmtree(folder)
    days = 2 * (last - first + 1)
    print("%d days, %d with a difference; %d compared, %d different"
          % (days, bad, tally.compared, tally.different))
    return 1 if tally.different else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
