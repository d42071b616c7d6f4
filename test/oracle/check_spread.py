#!/usr/bin/env python3
"""Holds the contract's uncertainties against the spread that they describe: every input is drawn
many times from its distribution and the quantity computed each time (JCGM 101:2008, propagation
of distributions). Seeds are fixed. Prints one line per check.

    check_spread.py
"""
import math
import sys
from types import SimpleNamespace

import numpy as np

from forces import Hand
from strokes import Mark, Stroke
from timing import Shared, coordination, cycle_time, high_hand, section_and_speed

DRAWS = 4000
failed = 0


def check(what, stated, spread, within):
    global failed
    good = stated is not None and abs(stated / spread - 1) <= within
    failed += not good
    print("%s %s: stated %.6g, spread %.6g" % ("ok  " if good else "FAIL", what, stated or 0, spread))


MARKS = ("full_reach", "hand_below_shoulder", "propulsion_start", "propulsion_end")
U = {"full_reach": 0.006, "hand_below_shoulder": 0.011, "propulsion_start": 0.008, "propulsion_end": 0.005}
SHARED = {"full_reach": 0.004, "hand_below_shoulder": 0.0, "propulsion_start": 0.009, "propulsion_end": 0.003}
CYCLE = 1.2


def swim(rng=None):
    """Five strokes of each hand, marked without error, or once more with the errors that are stated."""
    shift = {event: rng.normal(0, SHARED[event]) if rng else 0.0 for event in MARKS}
    strokes = []
    for hand, lead in (("left", 0.0), ("right", 0.58)):
        for number in range(1, 6):
            start = lead + number * CYCLE
            true = dict(zip(MARKS, (start - 0.3, start + 0.05, start, start + 0.55)))
            stroke = Stroke(hand, number)
            for event, time in true.items():
                mark = Mark(0, "trace", "A", time, U[event], SHARED[event])
                mark.time, mark.u = time + shift[event] + (rng.normal(0, U[event]) if rng else 0.0), U[event]
                stroke.marks[event] = mark
            strokes.append(stroke)
    out = {}
    shared = Shared(strokes, lambda mark: None)
    out["cycle_time_s"], out["cycle_time_s_u"] = cycle_time(strokes, lambda time: True)
    coordination(out, strokes, strokes, out["cycle_time_s"], out["cycle_time_s_u"], shared)
    high_hand(out, strokes, strokes, shared)
    out["one_high_hand_s"] = strokes[0].out["high_hand_s"]
    out["one_high_hand_s_u"] = strokes[0].out["high_hand_s_u"]
    return out


exact = swim()
generator = np.random.default_rng(1)
drawn = [swim(generator) for _ in range(DRAWS)]
# The index leaves out that T and the lags share marks: "a few per cent of it at most".
for name, within in (("cycle_time_s", 0.04), ("high_hand_s", 0.04), ("one_high_hand_s", 0.04), ("idc_pct", 0.06)):
    check(name, exact[name + "_u"], np.std([one[name] for one in drawn]), within)

# Velocity: the section's length, both times, and a pace that swings within a cycle (a of the mean,
# about a sine): where the section does not span whole cycles the mean speed in it is not the swimmer's.
LENGTH, PACE, SECTION_U, TIMING_U, VARIATION = 10.0, 1.8, 0.03, 0.008, 15.0
protocol = {"section_from_wall_m": [15, 5], "section_u_m": SECTION_U, "speed_variation_pct": VARIATION}
span = LENGTH / PACE
stated = {}
flags = SimpleNamespace(must=set(), may=set())
section_and_speed(stated, flags, {"start": 0.0, "end": span, "timing_u": TIMING_U}, True, protocol, CYCLE)
half = CYCLE / 2  # one swing per arm stroke
speeds = []
for phase in generator.uniform(0, 2 * math.pi, DRAWS):
    # Where the swimmer would be by an even pace, and how far the swing has carried them off it.
    off = [PACE * VARIATION / 100 * half / (2 * math.pi) * math.cos(2 * math.pi * time / half + phase)
           for time in (generator.uniform(0, half), 0.0)]
    length = LENGTH + generator.normal(0, SECTION_U)
    seconds = span + (off[1] - off[0]) / PACE
    speeds.append(length / (seconds + generator.normal(0, TIMING_U) - generator.normal(0, TIMING_U)))
check("velocity_m_s", stated["velocity_m_s_u"], np.std(speeds), 0.05)

# A hand's force: area, sensitivity, scatter of the line, zero (rectangular), depth of the taps (rectangular).
AREA, U_AREA, S, U_S, SD, ZERO, TAP, KPA, LASTING = 150.0, 4.0, 2000.0, 9.0, 0.05, 0.15, 0.098, 6.0, 0.5
hand = SimpleNamespace(
    quantity="raw", scale_pct=None, area=AREA, area_u=U_AREA, per_kpa=S,
    fit=SimpleNamespace(residual_sd_kpa=SD, sensitivity_u=U_S),
    u_zero=lambda: ZERO / math.sqrt(3), u_tap=lambda: TAP / math.sqrt(3))
pressure = (KPA * S / generator.normal(S, U_S, DRAWS) + generator.normal(0, SD, DRAWS)
            + generator.uniform(-ZERO, ZERO, DRAWS) + generator.uniform(-TAP, TAP, DRAWS))
forces = 0.1 * pressure * generator.normal(AREA, U_AREA, DRAWS)
check("force", Hand.u(hand, 0.1 * KPA * AREA), np.std(forces), 0.04)
check("impulse", Hand.u(hand, 0.1 * KPA * AREA * LASTING, LASTING), np.std(forces * LASTING), 0.04)

print("%d failed" % failed)
sys.exit(1 if failed else 0)
