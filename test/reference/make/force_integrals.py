"""Impulse, mean and peak of a force series over intervals by NumPy: ../data/force-integrals.json.

Both ends of an interval are interpolated with numpy.interp, the area is numpy.trapezoid over the ends and the samples
between them. Run: python3 make/force_integrals.py (needs numpy).
"""
import json
import pathlib

import numpy as np

RATE_HZ, START_S = 125.0, 2.5
rng = np.random.default_rng(7)
force = np.round(60 * np.abs(np.sin(np.arange(200) / 13)) + rng.normal(0, 4, 200), 3)
grid = START_S + np.arange(force.size) / RATE_HZ

intervals = []
for start, end in [(2.5, 4.092), (2.603, 2.911), (3.0, 3.4), (3.0011, 3.0059), (2.7391, 4.0123), (3.5, 3.508)]:
    inner = (grid > start + 1e-9) & (grid < end - 1e-9)
    closed = (grid >= start - 1e-9) & (grid <= end + 1e-9)
    x = np.concatenate([[start], grid[inner], [end]])
    y = np.concatenate([[np.interp(start, grid, force)], force[inner], [np.interp(end, grid, force)]])
    impulse = float(np.trapezoid(y, x))
    intervals.append({
        "start_s": start, "end_s": end, "impulse_ns": impulse, "mean_n": impulse / (end - start),
        "peak_n": float(force[closed].max()) if closed.any() else None,
    })

rows = ",\n".join("    " + json.dumps(interval) for interval in intervals)
pathlib.Path(__file__).parent.parent.joinpath("data/force-integrals.json").write_text(
    '{\n  "source": "numpy.trapezoid and numpy.interp, NumPy %s (open software)",\n' % np.__version__
    + '  "rate_hz": %s,\n  "start_s": %s,\n  "force_n": %s,\n  "intervals": [\n%s\n  ]\n}\n'
    % (RATE_HZ, START_S, json.dumps(force.tolist()), rows)
)
