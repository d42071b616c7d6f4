"""Hand force: zero, pressure difference, filter, and the numbers of each stroke."""
import math

import numpy as np
from physics import low_pass
from reading import HANDS
from strokes import mean
from traces import long_gaps


def pressure_difference(day, code, trial, hand, trace):
    """Filtered pressure difference in kPa on the trace's grid, or None."""
    sensor = trial[hand]
    fit = day.calibrations.get(sensor) or {}
    slope = fit.get("sensitivity_raw_per_kpa")
    if not trace or hand not in trace.hands or slope is None:
        return None
    # CHOICE: the raw reading is filled first, the zero taken off afterwards.
    raw = trace.hands[hand][0]
    before = day.zeros.get((sensor, code, "before"))
    after = day.zeros.get((sensor, code, "after"))
    if before is None and after is None:
        zero = fit["intercept_raw"]
    elif before is None or after is None:
        zero = after if before is None else before
    else:
        zero = before + (after - before) * np.arange(trace.count) / (trace.count - 1)
    return low_pass((raw - zero) / slope, trace.fs, day.protocol["filter"])


def stroke_force(day, stroke, trial, trace, pressure, person, gaps):
    """peak, its u, mean, impulse of one stroke."""
    start, end = stroke.at("propulsion_start"), stroke.at("propulsion_end")
    area = person[stroke.hand]
    if pressure is None or area is None or start is None or end is None:
        return None
    if not trace.covers(start, end):
        return None
    first, last = trace.first_index(start), trace.last_index(end)
    if any(a <= last and b >= first for a, b in gaps):
        return None
    force = 0.1 * pressure * area
    grid = trace.t0 + np.arange(trace.count) / trace.fs
    within = slice(max(first, 0), min(last, trace.count - 1) + 1)
    inner = (grid > start) & (grid < end)
    x = np.concatenate([[start], grid[inner], [end]])
    y = np.concatenate(
        [[np.interp(start, grid, force)], force[inner], [np.interp(end, grid, force)]]
    )
    impulse = float(np.sum((y[1:] + y[:-1]) / 2 * np.diff(x)))
    peak = float(force[within].max()) if first <= last else None
    fit = day.calibrations[trial[stroke.hand]]
    u = None
    known = (peak, person["u"], fit["sensitivity_u"], fit["residual_sd_kpa"])
    # CHOICE: without the area's uncertainty, or with a calibration of two points, it is empty.
    if all(value is not None for value in known):
        relative = math.hypot(
            person["u"] / area, fit["sensitivity_u"] / fit["sensitivity_raw_per_kpa"]
        )
        u = math.hypot(peak * relative, 0.1 * area * fit["residual_sd_kpa"])
    return peak, u, impulse / (end - start), impulse


def forces(day, out, code, trial, trace, person, kept, counting):
    names = ("peak_force_n", "peak_force_n_u", "mean_force_n", "impulse_ns")
    for hand in HANDS:
        pressure = pressure_difference(day, code, trial, hand, trace)
        gaps = []
        if pressure is not None:
            limit = (day.protocol.get("accept") or {}).get("max_gap_ms")
            gaps = long_gaps(trace.hands[hand][1], trace.fs, limit)
        for stroke in kept:
            if stroke.hand == hand:
                found = stroke_force(day, stroke, trial, trace, pressure, person, gaps)
                stroke.out.update(zip(names, found or (None,) * 4))
        mine = [s for s in counting if s.hand == hand]
        # CHOICE: its strokes = those that count and have a force.
        out["peak_force_%s_n" % hand] = mean(s.out["peak_force_n"] for s in mine)
        out["mean_force_%s_n" % hand] = mean(s.out["mean_force_n"] for s in mine)
        out["impulse_%s_ns" % hand] = mean(s.out["impulse_ns"] for s in mine)
        # CHOICE: a matter of zeros and calibration alone, so it needs no trace.
        slope = (day.calibrations.get(trial[hand]) or {}).get("sensitivity_raw_per_kpa")
        before = day.zeros.get((trial[hand], code, "before"))
        after = day.zeros.get((trial[hand], code, "after"))
        known = slope is not None and before is not None and after is not None
        out["zero_shift_%s_kpa" % hand] = (after - before) / slope if known else None
    left, right = out["mean_force_left_n"], out["mean_force_right_n"]
    can = left is not None and right is not None and left + right != 0
    out["force_symmetry_pct"] = 100 * (right - left) / ((right + left) / 2) if can else None
