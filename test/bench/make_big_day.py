#!/usr/bin/env python3
"""A big invented day for measurements: plain dialect, no gaps, marks for every trial.

    make_big_day.py OUT_DIR TRIALS SECONDS HZ [TRACES [STROKES]]

TRACES: so many trace files are written, for trials beyond them none. STROKES: so many are marked per hand.
"""
import json
import os
import sys

import numpy as np

SENSITIVITY, ZERO = 2000.0, 32768.0


def main(arguments):
    if len(arguments) not in (4, 5, 6):
        print("make_big_day.py OUT_DIR TRIALS SECONDS HZ [TRACES [STROKES]]", file=sys.stderr)
        return 2
    out, trials, seconds, hz = arguments[0], int(arguments[1]), float(arguments[2]), int(arguments[3])
    traces = int(arguments[4]) if len(arguments) > 4 else trials
    marked = int(arguments[5]) if len(arguments) > 5 else None
    os.makedirs(os.path.join(out, "traces"))
    rng = np.random.default_rng(1)
    count = int(seconds * hz)
    grid = np.arange(count) / hz
    digits = 3 if 1000 % hz == 0 else 6
    time_text = ["%.*f," % (digits, t) for t in grid]
    number_text = [str(k) for k in range(65536)]

    def put(name, lines):
        with open(os.path.join(out, name), "w", encoding="utf-8", newline="\n") as handle:
            handle.write("\n".join(lines) + "\n")

    day = {
        "format": "lanebench-day/1", "day": "big", "date": "2026-03-14", "venue": "invented",
        "pool": {"length_m": 25, "water_temperature_c": 27.0, "latitude_deg": 54.3, "altitude_m": 40},
        "protocol": {
            "name": "20 m sprint to the wall", "stroke": "front crawl", "run_m": 20,
            "section_from_wall_m": [10, 0], "section_u_m": 0.02,
            "section_points": {"start": "head", "end": "head"},
            "attempts": 2, "rest_min_s": 180, "marking_u_s": 0,
            "filter": {"kind": "butterworth", "order": 2, "cutoff_hz": 12},
            "accept": {"min_strokes_per_hand": 3, "max_gap_ms": 20,
                       "max_saturated_fraction": 0.001, "max_zero_shift_kpa": 0.15},
        },
        "cameras": [{"camera": "A", "frame_rate_hz": 50}],
        "sensors": [
            {"sensor": "S-0%d" % k, "hand": hand, "range_kpa": 15, "raw_unit": "count",
             "raw_min": 0, "raw_max": 65535}
            for k, hand in ((1, "left"), (2, "right"))
        ],
        "trace_columns": {"time": {"column": "time", "unit": "s"},
                          "left": {"column": "L", "sensor": "S-01"},
                          "right": {"column": "R", "sensor": "S-02"}},
    }
    put("day.json", [json.dumps(day, indent=2)])
    people = ["P%02d" % (k + 1) for k in range(max(1, trials // 4))]
    put("roster.csv",
        ["participant,sex,left_hand_area_cm2,right_hand_area_cm2,hand_area_u_cm2,consent"]
        + ["%s,unspecified,150,152,3,given" % p for p in people])
    calibration = ["sensor,step,direction,applied,applied_unit,raw"]
    for sensor in ("S-01", "S-02"):
        levels = [0, 3, 6, 9, 12, 15]
        for step, kpa in enumerate(levels + levels[::-1], 1):
            raw = int(round(ZERO + SENSITIVITY * kpa + rng.normal(0, 5)))
            calibration.append("%s,%d,%s,%d,kPa,%d"
                               % (sensor, step, "up" if step <= len(levels) else "down", kpa, raw))
    put("calibration.csv", calibration)

    trial_lines = ["trial,participant,attempt,trace,section_start_s,section_end_s,"
                   "timing_method,timing_u_s,status"]
    zeros = ["sensor,trial,when,raw"]
    events = ["trial,hand,stroke,event,time_s,clock,camera,rater"]
    strokes = ["trial,hand,stroke,entry_position,breath,exclusion_reason,rater"]
    for number in range(1, trials + 1):
        code = "T%03d" % number
        trial_lines.append("%s,%s,%d,traces/%s.csv,%.3f,%.3f,gate,0.005,accepted"
                           % (code, people[number % len(people)], 1 + number % 2, code,
                              seconds * 0.2, seconds * 0.9))
        raws, cycle = [], 1.1
        for hand, sensor, lead in (("left", "S-01", 0.2), ("right", "S-02", 0.75)):
            zeros += ["%s,%s,before,%d" % (sensor, code, ZERO + rng.integers(-40, 40)),
                      "%s,%s,after,%d" % (sensor, code, ZERO + rng.integers(-40, 40))]
            written = number <= traces
            kpa = rng.normal(0, 0.08, count) if written else None
            for stroke in range(1, int((seconds - lead) / cycle)):
                entry = lead + (stroke - 1) * cycle + rng.uniform(-0.01, 0.01)
                times = entry + cycle * np.array([0, 0.12, 0.29, 0.28, 0.5, 0.75, 0.8])
                times = np.rint(times * hz) / hz
                names = ("water_entry", "full_reach", "hand_below_shoulder",
                         "propulsion_start", "shoulder_plane", "propulsion_end", "water_exit")
                if marked is None or 6 <= stroke < 6 + marked:
                    events += ["%s,%s,%d,%s,%.*f,trace,,r1" % (code, hand, stroke, n, digits, t)
                               for n, t in zip(names, times)]
                    strokes.append("%s,%s,%d,level,none,,r1" % (code, hand, stroke))
                if written:
                    inside = slice(int(times[3] * hz), int(times[5] * hz))
                    span = np.linspace(0, np.pi, inside.stop - inside.start)
                    kpa[inside] += rng.uniform(4, 8) * np.sin(span)
            if written:
                raws.append(np.clip(np.rint(ZERO + SENSITIVITY * kpa), 0, 65535).astype(int).tolist())
        if written:
            put("traces/%s.csv" % code,
                ["time,L,R"] + [t + number_text[a] + "," + number_text[b]
                                for t, a, b in zip(time_text, *raws)])
    put("trials.csv", trial_lines)
    put("zeros.csv", zeros)
    put("events.csv", events)
    put("strokes.csv", strokes)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
