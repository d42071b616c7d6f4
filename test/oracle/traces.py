"""Samples on their grid, and gaps in them."""
import math

import numpy as np
from reading import HANDS, Broken, read_rows, to_number

# CHOICE: a mark put on a sample includes that sample although the printed time and
# t0 + k/fs differ in the last bits; a millionth of a step is far below any time printed.
STEP_TOLERANCE = 1e-6


class Trace:
    """Samples on the grid t0 + k/fs; per hand the filled raw, which samples were filled, what was read."""

    def __init__(self, t0, fs, count, hands, resampled):
        self.t0, self.fs, self.count, self.hands = t0, fs, count, hands
        self.resampled = resampled

    def first_index(self, time):
        return math.ceil((time - self.t0) * self.fs - STEP_TOLERANCE)

    def last_index(self, time):
        return math.floor((time - self.t0) * self.fs + STEP_TOLERANCE)

    def covers(self, start, end):
        from_start = (start - self.t0) * self.fs
        to_end = (end - self.t0) * self.fs
        return from_start >= -STEP_TOLERANCE and to_end <= self.count - 1 + STEP_TOLERANCE


def read_trace(path, name, mapping, refused):
    """A Trace; Broken where the file as a whole cannot be read."""
    time_map = mapping["time"]
    named = [time_map.get("column")] + [(mapping.get(hand) or {}).get("column") for hand in HANDS]
    separator, header, rows = read_rows(path, named)
    columns = {}
    if "column" in time_map:
        if time_map["column"] not in header:
            raise Broken("no time column")
        columns["time"] = header.index(time_map["column"])
    for hand in HANDS:
        column = (mapping.get(hand) or {}).get("column")
        # CHOICE: a hand's column that is not in the file costs that hand, not the trace.
        if column in header:
            columns[hand] = header.index(column)
    # CHOICE: a file with neither hand's column is no trace.
    if not any(hand in columns for hand in HANDS):
        raise Broken("neither hand's column")

    def looks_like_units(cells):
        # The row below the header is one of units where the columns read have words and not one number.
        words = False
        for cell in (cells[at] for at in columns.values() if at < len(cells)):
            try:
                if to_number(cell, separator) is not None:
                    return False
            except Broken:
                words = True
        return words

    if rows and looks_like_units(rows[0][1]):
        rows = rows[1:]

    per_second = {"s": 1.0, "ms": 1e3, "us": 1e6}[time_map.get("unit", "s")]
    samples = []  # (line, time, left, right)
    for position, (line, cells) in enumerate(rows):
        while len(cells) > len(header) and not cells[-1]:
            cells = cells[:-1]
        try:
            if len(cells) != len(header):
                raise Broken("%d cells for %d columns" % (len(cells), len(header)))
            value = {key: to_number(cells[at], separator) for key, at in columns.items()}
            if "time" in columns:
                if value["time"] is None:
                    raise Broken("a sample without a time")
                time = value["time"] / per_second
            else:
                # CHOICE: without a time column a refused row still takes up its time.
                time = position / float(time_map["rate_hz"])
        except Broken as error:
            refused.row(name, line, str(error))
            continue
        samples.append((line, time, value.get("left"), value.get("right")))

    # CHOICE: the one after it is the next readable row, whether or not that one is refused in turn;
    # before a first one is taken every sample is later than the last taken.
    taken = []
    for at, sample in enumerate(samples):
        last = taken[-1][1] if taken else -math.inf
        after = samples[at + 1][1] if at + 1 < len(samples) else None
        if sample[1] <= last or (after is not None and last < after < sample[1]):
            refused.row(name, sample[0], "time does not increase")
        else:
            taken.append(sample)
    if len(taken) < 2:
        raise Broken("fewer than two samples")

    times = np.array([sample[1] for sample in taken])
    t0 = float(times[0])
    if "time" in columns:
        steps = np.diff(times)
        counts = np.maximum(1, np.rint(steps / np.median(steps))).astype(int)
        index = np.concatenate([[0], np.cumsum(counts)])
        fs = float(index[-1] / (times[-1] - t0))
        count = int(index[-1]) + 1
        resampled = bool(np.any(np.abs(times - (t0 + index / fs)) > 0.5 / fs))
    else:
        fs, resampled = float(time_map["rate_hz"]), False
        index = np.rint(times * fs).astype(int)
        t0, count, index = float(times[0]), int(index[-1] - index[0]) + 1, index - index[0]

    hands = {}
    for which, hand in ((2, "left"), (3, "right")):
        known = np.array([sample[which] is not None for sample in taken])
        if hand not in columns or not known.any():
            continue
        raw = np.array([sample[which] for sample in taken], dtype=object)[known].astype(float)
        grid = np.arange(count)
        # CHOICE: gaps are counted on the grid's index also where the trace is resampled, and
        # resampling concerns the whole trace, not only the samples that left the grid.
        if resampled:
            filled = np.interp(t0 + grid / fs, times[known], raw)
        else:
            filled = np.interp(grid, index[known], raw)
        missing = np.ones(count, bool)
        missing[index[known]] = False
        hands[hand] = (filled, missing, raw)
    return Trace(t0, fs, count, hands, resampled)


def long_gaps(missing, fs, max_gap_ms):
    """Runs of filled samples longer than max_gap_ms: [(first index, last index)]."""
    if max_gap_ms is None or not missing.any():
        return []
    edge = np.diff(np.concatenate([[0], missing.astype(int), [0]]))
    runs = zip(np.flatnonzero(edge == 1), np.flatnonzero(edge == -1))
    return [(a, b - 1) for a, b in runs if (b - a) / fs > max_gap_ms / 1000]
