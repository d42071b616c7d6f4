"""The invented trace of one trial: samples, times as loggers print them, gaps."""
import os

import numpy as np
from day_files import Dialect, Raw


class TraceFile:
    def __init__(self, name):
        self.name, self.mess, self.whole = name, [], None


class TraceMaker:
    """Part of DayMaker, which sets the fields used here."""

    def make_trace(self, name, start, length, fs, strokes, sensors):
        rng = self.rng
        # Now and then the logger stops before the swimmer does.
        cut = float(rng.uniform(0.5, 2)) if rng.random() < 0.15 else 0.0
        count = int((length - cut) * fs)
        if rng.random() < 0.02:
            count = int(rng.integers(3, 20))
        grid = start + np.arange(count) / fs
        file, raws = TraceFile(name), {}
        for hand in ("left", "right"):
            sensor = sensors[hand]
            kpa = 0.15 * np.sin(2 * np.pi * 0.4 * grid) + rng.normal(0, 0.08, count)
            for side, _, t in strokes:
                if side == hand:
                    p, e = t["propulsion_start"], t["propulsion_end"]
                    inside = (grid >= p) & (grid <= e)
                    kpa[inside] += float(rng.uniform(4, 8)) * np.sin(
                        np.pi * (grid[inside] - p) / (e - p))
            raw = sensor["zero"] + sensor["slope"] * kpa
            raws[hand] = np.rint(raw).astype(int) if sensor["counts"] else np.round(raw, 5)
            if sensor["quantity"] == "raw" and count > 200 and rng.random() < 0.08:
                at = int(rng.integers(0, count - 40))
                raws[hand][at : at + int(rng.choice([2, 25]))] = 65535 if sensor["counts"] else 5
        times, digits = self.print_times(grid, fs)
        cells = {hand: [str(v) if sensors[hand]["counts"] else float(v) for v in raws[hand]]
                 for hand in raws}
        if rng.random() < 0.03:
            mute = str(rng.choice(["left", "right"]))
            cells[mute] = [Raw("")] * count
        absent = np.zeros(count, bool)
        self.make_gaps(cells, absent, fs, count)
        file.dialect = Dialect(rng)
        file.digits, file.times, file.cells, file.absent = digits, times, cells, absent
        file.units = rng.random() < 0.3
        file.fs = fs
        self.trace_files[name] = file

    def print_times(self, grid, fs):
        """Times as numbers of the day's unit with the digits to print; None with a fixed rate."""
        rng = self.rng
        if self.fixed_rate:
            return None, 0
        kind = str(rng.choice(["exact", "jitter", "wander", "coarse"], p=[0.4, 0.25, 0.15, 0.2]))
        times = grid.copy()
        if kind == "jitter":
            times = times + rng.normal(0, 0.04 / fs, len(grid))
        if kind == "wander":
            times = times + 4 / fs * np.sin(2 * np.pi * (grid - grid[0]) / (grid[-1] - grid[0]))
        # Coarse: milliseconds, as many loggers print; safe while a step is 2 ms or more.
        seconds_digits = 3 if kind == "coarse" and fs <= 500 else 6
        factor, shift = {"s": (1.0, 0), "ms": (1e3, 3), "us": (1e6, 6)}[self.time_unit]
        return times * factor, max(0, seconds_digits - shift)

    def make_gaps(self, cells, absent, fs, count):
        rng = self.rng
        if rng.random() < 0.4 or count < 200:
            return
        for _ in range(int(rng.integers(1, 4))):
            size = int(rng.choice([1, 2, 3, 8, 12, 30, 60]))
            # A gap as long as the limit to the last bit would test the doubles, not the reading.
            while self.max_gap_ms and abs(size / fs * 1000 / self.max_gap_ms - 1) < 0.02:
                size += 1
            at = int(rng.choice([0, count - size, int(rng.integers(5, count - size - 5))],
                                p=[0.08, 0.08, 0.84]))
            kind = str(rng.choice(["", "NaN", "-", "absent"]))
            inside = 1 < at < count - size - 1
            if kind == "absent" and not self.fixed_rate and inside:
                absent[at : at + size] = True
                continue
            kind = "" if kind == "absent" else kind
            hands = [("left",), ("right",), ("left", "right")][int(rng.integers(0, 3))]
            for hand in hands:
                cells[hand][at : at + size] = [Raw(kind)] * size

    def write_trace(self, file):
        if file.whole is not None:
            with open(os.path.join(self.folder, file.name), "wb") as handle:
                handle.write(file.whole)
            return
        dialect = file.dialect
        lines = dialect.opening()
        names = list(self.names[1:]) if file.times is None else list(self.names)
        extra = ["battery"] if self.extra_column else []
        lines.append(dialect.separator.join(dialect.cell(c) for c in names + extra))
        if file.units:
            units = (["counts", "counts"] if file.times is None
                     else [self.time_unit, "counts", "counts"])
            lines.append(dialect.separator.join(units + ["%"] * len(extra)))
        head = len(lines)
        rows = []  # (text, what is broken)
        for k in range(len(file.cells["left"])):
            if file.absent[k]:
                continue
            row = [] if file.times is None else [dialect.number(file.times[k], file.digits)]
            row += [dialect.cell(file.cells[hand][k]) for hand in ("left", "right")]
            rows.append([row + ["ok"] * len(extra), None])
        for mess in file.mess:
            mess(file, rows)
        for at, (row, what) in enumerate(rows):
            if what:
                self.broken.append({"file": file.name, "line": head + at + 1, "what": what})
            lines.append(dialect.separator.join(row))
        path = os.path.join(self.folder, file.name)
        dialect.write(path, lines)
