#!/usr/bin/env python3
"""What a lab would write with pandas and SciPy for the same numbers, for timing.

    pandas_peer.py DAY_FOLDER [NUMBERS_JSON]

Works on plain days such as make_big_day.py makes: comma and point, every trial with a
trace and marks on its clock. Prints JSON {trials, seconds, seconds_per_trial, max_rss_mb};
the seconds leave out starting Python and importing. NUMBERS_JSON takes the numbers.
"""
import json
import os
import resource
import sys
import time

import numpy as np
import pandas as pd
from scipy.signal import butter, filtfilt

KPA = {"kPa": 1.0, "Pa": 1e-3, "mbar": 0.1, "cmH2O": 0.0980665, "mmHg": 0.133322387415,
       "psi": 6.894757293168}


def read_trace(path, columns):
    table = pd.read_csv(path, engine="c", comment="#", na_values=["-"])
    unit = {"s": 1.0, "ms": 1e3, "us": 1e6}[columns["time"].get("unit", "s")]
    t = table[columns["time"]["column"]].to_numpy(float) / unit
    good = np.concatenate([[True], np.diff(np.maximum.accumulate(t)) > 0])
    table, t = table[good], t[good]
    steps = np.diff(t)
    index = np.concatenate([[0], np.cumsum(np.maximum(1, np.rint(steps / np.median(steps))))])
    fs = index[-1] / (t[-1] - t[0])
    grid = np.arange(int(index[-1]) + 1)
    raw, missing = {}, {}
    for hand in ("left", "right"):
        values = table[columns[hand]["column"]].to_numpy(float)
        known = np.isfinite(values)
        raw[hand] = np.interp(grid, index[known], values[known])
        missing[hand] = np.ones(len(grid), bool)
        missing[hand][index[known].astype(int)] = False
    return t[0], fs, raw, missing


def filter_for(spec, fs):
    if spec["kind"] == "none":
        return lambda x: x
    order = spec["order"]
    warped = np.tan(np.pi * spec["cutoff_hz"] / fs) / (np.sqrt(2) - 1) ** (1 / (2 * order))
    b, a = butter(order, 2 / np.pi * np.arctan(warped))
    return lambda x: filtfilt(b, a, x, padtype="odd", padlen=3 * (order + 1))


def touches_gap(missing, fs, limit_ms, first, last):
    if not missing.any():
        return False
    edge = np.diff(np.concatenate([[0], missing.astype(int), [0]]))
    starts, ends = np.flatnonzero(edge == 1), np.flatnonzero(edge == -1)
    long = (ends - starts) / fs * 1000 > limit_ms
    return bool(np.any(long & (starts <= last) & (ends > first)))


def coordination(marks, cycle):
    """Index of coordination per stroke of one trial; marks is indexed by (hand, stroke)."""
    out = {}
    by_hand = {h: marks[marks["hand"] == h].sort_values("propulsion_start")
               for h in ("left", "right")}
    for hand, other in (("left", "right"), ("right", "left")):
        mine, theirs = by_hand[hand], by_hand[other]
        starts = mine["propulsion_start"].dropna().to_numpy()
        p = theirs["propulsion_start"].dropna()
        ends = theirs["propulsion_end"].reindex(p.index).to_numpy()
        p = p.to_numpy()
        for at, s in enumerate(starts):
            k = np.searchsorted(p, s) - 1
            if k < 0 or not np.isfinite(ends[k]):
                continue
            if (at and starts[at - 1] > p[k]) or (at == 0 and p[k] < s - cycle):
                continue
            out[(hand, s)] = 100 * (ends[k] - s) / cycle
    return out


def main(arguments):
    if len(arguments) not in (1, 2):
        print("pandas_peer.py DAY_FOLDER [NUMBERS_JSON]", file=sys.stderr)
        return 2
    folder = arguments[0]
    began = time.perf_counter()

    def table(name):
        return pd.read_csv(os.path.join(folder, name), comment="#")

    with open(os.path.join(folder, "day.json"), encoding="utf-8-sig") as handle:
        day = json.load(handle)
    protocol, columns = day["protocol"], day["trace_columns"]
    people = table("roster.csv").set_index("participant")
    people = people[people["consent"].isin(["given", "assent_and_guardian"])]
    calibration = {}
    for sensor, rows in table("calibration.csv").groupby("sensor"):
        kpa = rows["applied"] * rows["applied_unit"].map(KPA)
        slope, intercept = np.polyfit(kpa, rows["raw"], 1)
        residual = rows["raw"] - (intercept + slope * kpa)
        sd = np.sqrt((residual**2).sum() / (len(rows) - 2))
        slope_u = sd / np.sqrt(((kpa - kpa.mean()) ** 2).sum())
        calibration[sensor] = slope, intercept, slope_u, sd / abs(slope)
    zeros = table("zeros.csv").set_index(["sensor", "trial", "when"])["raw"]
    events = table("events.csv")
    marks = events.pivot_table(index=["trial", "hand", "stroke"], columns="event",
                               values="time_s", aggfunc="first").reset_index()
    marks = marks.merge(table("strokes.csv"), how="left", on=["trial", "hand", "stroke"])
    length = abs(np.subtract(*protocol["section_from_wall_m"]))
    numbers = {}
    trials = table("trials.csv")
    marks_of = dict(tuple(marks.groupby("trial")))
    for trial in trials.itertuples():
        if trial.participant not in people.index:
            continue
        person = people.loc[trial.participant]
        mine = marks_of[trial.trial]
        start, end = trial.section_start_s, trial.section_end_s
        p, e = mine["propulsion_start"], mine["propulsion_end"]
        counts = p.between(start, end) & e.between(start, end) & mine["exclusion_reason"].isna()
        steps = []
        for _, side in mine[p.between(start, end)].groupby("hand"):
            step = np.diff(side["propulsion_start"])
            steps.append(step[np.diff(side["stroke"]) == 1])
        cycle = np.concatenate(steps).mean()
        speed = length / (end - start)
        out = {
            "velocity_m_s": speed,
            "velocity_m_s_u": speed * np.sqrt((protocol["section_u_m"] / length) ** 2
                                              + 2 * (trial.timing_u_s / (end - start)) ** 2),
            "cycle_time_s": cycle, "stroke_rate_cpm": 60 / cycle, "stroke_length_m": speed * cycle,
        }
        idc = coordination(mine, cycle)
        for hand in ("left", "right"):
            values = [idc[(hand, s)] for s in p[counts & (mine["hand"] == hand)]
                      if (hand, s) in idc]
            out["idc_%s_pct" % hand] = np.mean(values)
        out["idc_pct"] = (out["idc_left_pct"] + out["idc_right_pct"]) / 2
        deep = mine["hand_below_shoulder"] - mine["full_reach"]
        deep = deep.mask(mine["entry_position"] == "below", 0.0)
        out["high_hand_s"] = deep[counts].mean()
        following = mine.groupby("hand")["water_entry"].shift(-1)
        cycle_own = following - mine["water_entry"]
        shares = pd.DataFrame({
            "entry_catch_pct": 100 * (p - mine["water_entry"]) / cycle_own,
            "pull_pct": 100 * (mine["shoulder_plane"] - p) / cycle_own,
            "push_pct": 100 * (e - mine["shoulder_plane"]) / cycle_own,
            "recovery_pct": 100 * (following - e) / cycle_own,
        })

        t0, fs, raw, missing = read_trace(os.path.join(folder, trial.trace), columns)
        smooth = filter_for(protocol["filter"], fs)
        rows = []
        for hand in ("left", "right"):
            sensor, area = columns[hand]["sensor"], person["%s_hand_area_cm2" % hand]
            slope, intercept, slope_u, sd = calibration[sensor]
            n = len(raw[hand])
            before = zeros.get((sensor, trial.trial, "before"), intercept)
            after = zeros.get((sensor, trial.trial, "after"), before)
            zero = np.linspace(before, after, n)
            force = 0.1 * area * smooth((raw[hand] - zero) / slope)
            grid = t0 + np.arange(n) / fs
            for at in mine.index[mine["hand"] == hand]:
                a, b = p[at], e[at]
                first, last = np.ceil((a - t0) * fs - 1e-6), np.floor((b - t0) * fs + 1e-6)
                if not first >= 0 or not last < n or touches_gap(
                    missing[hand], fs, protocol["accept"]["max_gap_ms"], first, last
                ):
                    continue
                inside = slice(np.searchsorted(grid, a, "right"), np.searchsorted(grid, b, "left"))
                x = np.concatenate([[a], grid[inside], [b]])
                y = np.concatenate([[np.interp(a, grid, force)], force[inside],
                                    [np.interp(b, grid, force)]])
                impulse = np.trapezoid(y, x) if hasattr(np, "trapezoid") else np.trapz(y, x)
                peak = force[int(first) : int(last) + 1].max()
                u = np.hypot(peak * np.hypot(person["hand_area_u_cm2"] / area, slope_u / slope),
                             0.1 * area * sd)
                rows.append((at, hand, peak, u, impulse / (b - a), impulse))
        forces = pd.DataFrame(
            rows, columns=["at", "hand", "peak_force_n", "peak_force_n_u", "mean_force_n", "impulse_ns"]
        ).set_index("at")
        means = forces[counts.reindex(forces.index)].groupby("hand").mean()
        for hand in means.index:
            out["peak_force_%s_n" % hand] = means.at[hand, "peak_force_n"]
            out["mean_force_%s_n" % hand] = means.at[hand, "mean_force_n"]
            out["impulse_%s_ns" % hand] = means.at[hand, "impulse_ns"]
        left, right = out.get("mean_force_left_n"), out.get("mean_force_right_n")
        if left is not None and right is not None:
            out["force_symmetry_pct"] = 200 * (right - left) / (right + left)
        numbers[trial.trial] = out, mine.join(shares).join(forces.drop(columns="hand"))
    seconds = time.perf_counter() - began
    if len(arguments) == 2:
        with open(arguments[1], "w", encoding="utf-8") as handle:
            json.dump({code: {k: float(v) for k, v in out.items()}
                       for code, (out, _) in numbers.items()}, handle, indent=1)
    rss = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(json.dumps({"trials": len(numbers), "seconds": round(seconds, 3),
                      "seconds_per_trial": round(seconds / max(1, len(numbers)), 5),
                      "max_rss_mb": round(rss, 1)}))
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
