#!/usr/bin/env python3
"""What a lab would do with pandas, numpy and SciPy for single steps of the work, for timing.

    peers.py read DAY TRIALS          trace CSV to arrays (pandas, C parser)
    peers.py force DAY TRIALS         filter, force and the numbers of each stroke (numpy, SciPy)
    peers.py pool OUT DATASET...      datasets joined and written, trials grouped (pandas)

Prints JSON {seconds, check}: seconds leave out starting Python and importing, check is held against ours.
"""
import json
import os
import sys
import time

import numpy as np
import pandas as pd
from scipy.signal import butter, filtfilt

TABLES = ("participants", "calibrations", "trials", "strokes", "refused")


def traces(day, trials):
    return [os.path.join(day, "traces", "T%03d.csv" % (k + 1)) for k in range(trials)]


def read(day, trials):
    began = time.perf_counter()
    check = 0.0
    for path in traces(day, trials):
        table = pd.read_csv(path, engine="c")
        t, left, right = (table[name].to_numpy(float) for name in ("time", "L", "R"))
        check += t[-1] + left.sum() + right.sum()
    return time.perf_counter() - began, [check]


def force(day, trials):
    tables = [pd.read_csv(path, engine="c") for path in traces(day, trials)]
    data = [(t["time"].to_numpy(float), t["L"].to_numpy(float), t["R"].to_numpy(float)) for t in tables]
    began = time.perf_counter()
    check = np.zeros(3)
    for t, left, right in data:
        fs = (len(t) - 1) / (t[-1] - t[0])
        warped = np.tan(np.pi * 12 / fs) / (np.sqrt(2) - 1) ** 0.25
        b, a = butter(2, 2 / np.pi * np.arctan(warped))
        grid = t[0] + np.arange(len(t)) / fs
        for raw in (left, right):
            kpa = filtfilt(b, a, (raw - np.linspace(32760, 32770, len(raw))) / 2000, padtype="odd", padlen=9)
            newton = 0.1 * 150 * kpa
            for k in range(25):
                start, end = 0.5 + 1.1 * k, 1.0037 + 1.1 * k
                inside = slice(np.searchsorted(grid, start, "right"), np.searchsorted(grid, end, "left"))
                x = np.concatenate([[start], grid[inside], [end]])
                y = np.concatenate([[np.interp(start, grid, newton)], newton[inside],
                                    [np.interp(end, grid, newton)]])
                impulse = np.sum((y[1:] + y[:-1]) / 2 * np.diff(x))
                check += impulse, impulse / (end - start), y.max()
    return time.perf_counter() - began, list(check)


def pool(out, datasets):
    began = time.perf_counter()
    os.makedirs(out)
    joined = {}
    for name in TABLES:
        parts = []
        for folder in datasets:
            table = pd.read_csv(os.path.join(folder, name + ".csv"))
            with open(os.path.join(folder, "datapackage.json"), encoding="utf-8") as handle:
                table.insert(0, "day", json.load(handle)["day"])
            parts.append(table)
        joined[name] = pd.concat(parts)
        joined[name].to_csv(os.path.join(out, name + ".csv"), index=False)
    groups = joined["trials"].groupby("condition")["velocity_m_s"].agg(["count", "mean", "std"])
    return time.perf_counter() - began, [float(v) for v in groups.to_numpy().ravel()]


def main(arguments):
    command, first, *rest = arguments
    seconds, check = {
        "read": lambda: read(first, int(rest[0])),
        "force": lambda: force(first, int(rest[0])),
        "pool": lambda: pool(first, rest),
    }[command]()
    print(json.dumps({"seconds": seconds, "check": check}))


if __name__ == "__main__":
    main(sys.argv[1:])
