#!/usr/bin/env python3
"""Holds the oracle itself against published values. Prints one line per check.

    check_oracle.py
"""
import math
import os
import sys
import tempfile

import numpy as np
from scipy.signal import butter, filtfilt, freqz

sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))
import oracle  # noqa: E402
import physics  # noqa: E402
from clocks import Sync  # noqa: E402
from sensors import Calibration  # noqa: E402

failed = 0


def check(what, got, wanted, within):
    global failed
    good = got is not None and abs(got - wanted) <= within
    failed += not good
    print("%s %s: %r, wanted %r within %g" % ("ok  " if good else "FAIL", what, got, wanted, within))


# Density: IP Standard Methods 1998 App. G, an independent formula, stated to 0.006 kg/m3.
for celsius, rho in ((4, 999.9720), (20, 998.2031), (27, 996.5114), (30, 995.6450)):
    check("water at %d C, kg/m3" % celsius, physics.water_density(celsius), rho, 0.006)
# Normal gravity: GRS80 (Moritz 2000), equator and pole.
check("gravity at the equator, m/s2", physics.gravity(0, 0), 9.7803267715, 1e-9)
check("gravity at the pole, m/s2", physics.gravity(90, 0), 9.8321863685, 1e-9)

# Straight line: JCGM 100:2008, H.3, thermometer calibration, t0 = 20 C.
t = [21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511]
b = [-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160]
fit = Calibration([(x - 20, "up", y) for x, y in zip(t, b)])
check("H.3 intercept", fit.intercept_raw, -0.1712, 5e-5)
check("H.3 slope", fit.sensitivity_raw_per_kpa, 0.00218, 5e-6)
check("H.3 u(slope)", fit.sensitivity_u, 0.00067, 5e-6)
check("H.3 s", fit.residual_sd_kpa * fit.sensitivity_raw_per_kpa, 0.0035, 5e-5)
# The variance of the line at 30 C, s2 (1/n + (t - mean)2 / sum): H.3.4 gives u(b(30 C)) = 0.0041 C.
line = Sync(list(zip(b, [x - 20 for x in t])))
root12 = math.sqrt(12)
check("H.3 u(b(30 C))", math.sqrt(line.line_variance(10, 0.0035 * root12, 0)), 0.0041, 5e-5)
# Units: NIST SP 811 (2008), appendix B.8.
for unit, pascal, within in (("psi", 6894.757, 1e-3), ("mmHg", 133.3224, 5e-5), ("cmH2O", 98.0665, 5e-5),
                             ("mbar", 100.0, 0)):
    check("1 %s, Pa" % unit, physics.kpa_per(unit, {}) * 1000, pascal, within)
check("1 lbf, N", physics.NEWTON["lbf"], 4.448222, 5e-7)

# Filter: two passes give 1/sqrt(2) at the cutoff (Winter; Robertson et al.), and 100 Hz,
# 6 Hz corrected has a0 = 0.0405946814 (recipe of Winter, from memory, seen equal to SciPy's).
for order in (1, 2, 3, 4):
    fs, cutoff = 100.0, 6.0
    warped = math.tan(math.pi * cutoff / fs) / (math.sqrt(2) - 1) ** (1 / (2 * order))
    b_, a_ = butter(order, 2 / math.pi * math.atan(warped))
    gain = abs(freqz(b_, a_, [cutoff], fs=fs)[1][0]) ** 2
    check("order %d gain at cutoff" % order, gain, math.sqrt(0.5), 1e-9)
    if order == 2:
        check("order 2 a0", b_[0], 0.0405946814, 1e-9)
    x = np.random.default_rng(order).normal(size=400)
    ours = physics.low_pass(x, fs, {"kind": "butterworth", "order": order, "cutoff_hz": cutoff})
    check("order %d against filtfilt" % order, np.max(np.abs(ours - filtfilt(b_, a_, x))), 0, 1e-10)

# Index of coordination: lags as defined by Chollet, Chalies & Chatard 2000; the numbers are
# plain arithmetic on that definition. (left 1, right 1, left 2 as (start, end); T is given by
# a third left stroke where the two left starts are not T apart.)
WORKED = (
    ("catch-up", ((0.50, 0.95), (1.05, 1.50), (1.60, 2.05)), 1.10, -9.090909090909),
    ("opposition", ((0.40, 0.90), (0.90, 1.40), (1.40, 1.90)), 1.00, 0.0),
    ("superposition", ((0.40, 0.95), (0.90, 1.45), (1.40, 1.95)), 1.00, 5.0),
    ("unequal sides", ((0.30, 0.80), (0.90, 1.52), (1.50, 2.00)), 1.20, -10 / 3),
)
DAY = """{"format": "lanebench-day/1", "day": "d", "date": "2026-03-14",
 "pool": {"length_m": 25, "water_temperature_c": 27, "latitude_deg": 54, "altitude_m": 40},
 "protocol": {"section_from_wall_m": [10, 0], "section_u_m": 0.02, "marking_u_s": 0,
  "filter": {"kind": "none"}, "accept": {}},
 "cameras": [{"camera": "A", "frame_rate_hz": 50}], "sensors": [],
 "trace_columns": {"time": {"column": "time"}}}"""
for name, (l1, r1, l2), cycle, wanted in WORKED:
    with tempfile.TemporaryDirectory() as folder:

        def put(file, text):
            with open(os.path.join(folder, file), "w", encoding="utf-8") as handle:
                handle.write(text)

        put("day.json", DAY)
        put("roster.csv", "participant,consent\nP1,given\n")
        put("trials.csv", "trial,participant,section_start_s,section_end_s,timing_u_s\n"
                          "T1,P1,0,5.5,0.01\n")
        rows = ["trial,hand,stroke,event,time_s,clock"]
        for hand, stroke, pair in (("left", 1, l1), ("right", 1, r1), ("left", 2, l2)):
            for event, time in zip(("propulsion_start", "propulsion_end"), pair):
                rows.append("T1,%s,%d,%s,%.2f,video" % (hand, stroke, event, time))
        put("events.csv", "\n".join(rows) + "\n")
        trial = oracle.read_day(folder)["trials"]["T1"]
        check("T, " + name, trial["cycle_time_s"], cycle, 1e-9)
        check("index of coordination, " + name, trial["idc_pct"], wanted, 1e-9)
        # v = L / t and u: 10 m in 5.50 s; 60/T; v T (Craig & Pendergast 1979).
        check("velocity", trial["velocity_m_s"], 1.818182, 1e-6)
        check("stroke length, " + name, trial["stroke_length_m"], 10 / 5.5 * cycle, 1e-9)

print("%d failed" % failed)
sys.exit(1 if failed else 0)
