"""A second reading of the patterns of file names (formats.md, section 5), which shares no code with the program.

Reads a JSON list of {pattern, path, roster} from standard input and writes, for each, the ways to cut the name that give
a participant of the roster: every cut of the name into the pattern's pieces is tried, piece by piece, with nothing
clever. A way is what stands in the fields; two cuts that differ in {any} alone are one way.
"""
import json
import re
import sys

CODE = re.compile(r"[A-Za-z0-9_.\-]{1,64}")
DIGITS = re.compile(r"[0-9]{1,9}")


def pieces(pattern):
    return re.findall(r"\{[a-z]+\}|[^{}]+", pattern)


def may_hold(field, text, roster):
    if field == "{any}":
        return "/" not in text
    if field == "{attempt}":
        return DIGITS.fullmatch(text) is not None and int(text) >= 1
    if field == "{participant}" and text.lower() not in roster:
        return False
    return CODE.fullmatch(text) is not None


def cuts(parts, name, roster, told):
    if not parts:
        if name == "":
            yield told
        return
    first, rest = parts[0], parts[1:]
    if not first.startswith("{"):
        if name.lower().startswith(first.lower()):
            yield from cuts(rest, name[len(first):], roster, told)
        return
    for length in range(len(name) + 1):
        text = name[:length]
        if not may_hold(first, text, roster):
            continue
        value = str(int(text)) if first == "{attempt}" else text.lower()
        if first == "{any}":
            yield from cuts(rest, name[length:], roster, told)
        elif told.get(first, value) == value:
            yield from cuts(rest, name[length:], roster, {**told, first: value})


def ways(case):
    roster = {code.lower() for code in case["roster"]}
    name = case["path"] if "/" in case["pattern"] else case["path"].rsplit("/", 1)[-1]
    found = {
        tuple(sorted((field.strip("{}"), value) for field, value in told.items()))
        for told in cuts(pieces(case["pattern"]), name, roster, {})
    }
    return sorted(dict(way).items() for way in found)


json.dump([[dict(way) for way in ways(case)] for case in json.load(sys.stdin)], sys.stdout)
