"""Broken rows in trace files."""
import contextlib

from dirt_trials import pick, trial_row, visible


class NoRoom(Exception):
    """A short or much broken trace has no sound stretch left: it stays as it is."""


def trace_rule(spoil_rows, needs_time=True):
    def spoil(day):
        if needs_time and day.fixed_rate:
            return False
        names = {trial_row(day, f["code"])["trace"]
                 for f in visible(day, lambda f: f["has_trace"])}
        file = pick(day, [f for n, f in day.trace_files.items() if n in names])
        if file is None:
            return False
        place = float(day.rng.uniform(0.1, 0.6))

        def mess(trace, rows):
            with contextlib.suppress(NoRoom):
                spoil_rows(day, trace, rows, place)

        file.mess.append(mess)
        return True

    return spoil


def first_place(rows, place, fits):
    """The first row at the place or after it, else from the start, that has good rows on either side and fits."""
    inner = len(rows) - 9
    for k in range(inner):
        at = 4 + (int(place * len(rows)) - 4 + k) % inner
        if not any(rows[j][1] for j in range(at - 4, at + 5)) and fits(at):
            return at
    raise NoRoom("the trace has no room for another broken row")


def at_place(rows, place):
    """A row with good rows on either side."""
    return first_place(rows, place, lambda at: True)


def at_even_place(day, file, rows, place):
    """The same, with no absent rows beside it."""
    step = {"s": 1.0, "ms": 1e3, "us": 1e6}[day.time_unit] / file.fs

    def time(k):
        return float(rows[k][0][0].replace(",", "."))

    return first_place(rows, place, lambda at: time(at + 4) - time(at - 4) <= 8.9 * step)


def shifted(day, file, row, steps):
    value = float(row[0].replace(",", "."))
    factor = {"s": 1.0, "ms": 1e3, "us": 1e6}[day.time_unit]
    return [file.dialect.number(value + steps * factor / file.fs, file.digits)] + row[1:]


def time_back(day, file, rows, place):
    at = at_even_place(day, file, rows, place)
    rows[at] = [shifted(day, file, rows[at][0], -6.3),
                "time goes back (the row above it is then later than the one after it)"]


def time_ahead(day, file, rows, place):
    at = at_even_place(day, file, rows, place)
    rows[at] = [shifted(day, file, rows[at][0], 6.3), "time later than the one after it"]


def time_twice(day, file, rows, place):
    at = at_even_place(day, file, rows, place)
    rows.insert(at + 1, [list(rows[at][0]), "the same time twice"])


def bad_cell(day, file, rows, place):
    at = at_place(rows, place)
    row = list(rows[at][0])
    row[0 if file.times is None else 1] = "12x5"
    rows[at] = [row, "not a number"]


def bad_cells(day, file, rows, place):
    """Neighbouring rows with one reason."""
    at = at_place(rows, place)
    for k in range(at, at + 3):
        row = list(rows[k][0])
        row[0 if file.times is None else 1] = "err"
        rows[k] = [row, "not a number"]


def short_row(day, file, rows, place):
    at = at_place(rows, place)
    rows[at] = [rows[at][0][:1], "cells are missing"]


def no_time(day, file, rows, place):
    at = at_place(rows, place)
    rows[at] = [[""] + rows[at][0][1:], "a sample without a time"]


def unreadable(text):
    """The whole file is no trace: its trial's forces are empty, the trial stays."""

    def spoil(day):
        found = visible(day, lambda f: f["has_trace"] and "touched" not in f
                        and all(e["clock"] == "video" and e["camera"] in ("", "A")
                                for e in f["events"]))
        facts = pick(day, found)
        if facts is None:
            return False
        facts.update(touched=True, has_trace=False)
        name = trial_row(day, facts["code"])["trace"]
        file = day.trace_files[name]
        file.whole = text
        day.broken.append({"file": name, "line": None, "what": "no trace at all"})
        return True

    return spoil


TRACE_RULES = {
    "trace empty": unreadable(b""),
    "trace not text": unreadable(b"time,L,R\n\xff\xfe\x00\x01,1,2\n"),
    "trace without columns": unreadable(b"a,b,c\n1,2,3\n2,3,4\n"),
    "trace time back": trace_rule(time_back),
    "trace time ahead": trace_rule(time_ahead),
    "trace time twice": trace_rule(time_twice),
    "trace bad cell": trace_rule(bad_cell, needs_time=False),
    "trace bad cells": trace_rule(bad_cells, needs_time=False),
    "trace short row": trace_rule(short_row, needs_time=False),
    "trace no time": trace_rule(no_time),
}
