"""Marks, strokes and the order of events."""
import math

import numpy as np
from reading import HANDS

EVENTS = (
    "water_entry",
    "full_reach",
    "hand_below_shoulder",
    "propulsion_start",
    "shoulder_plane",
    "propulsion_end",
    "water_exit",
)
# Names of the first version; such day folders are still read.
FORMER_EVENTS = {"arm_entry_complete": "full_reach", "below_shoulder_level": "hand_below_shoulder"}
# The chain of one stroke; the flag says whether the step to the next one is strict.
CHAIN = (
    ("water_entry", False),
    ("full_reach", False),
    ("propulsion_start", True),
    ("shoulder_plane", True),
    ("propulsion_end", False),
    ("water_exit", False),
)


class Mark:
    def __init__(self, line, clock, camera, time, own_u=None, shared_u=None):
        self.line, self.clock, self.camera, self.raw_time = line, clock, camera, time
        self.own_u, self.shared_u = own_u, shared_u
        self.time = None  # on the trial's clock; None where it cannot be brought there
        self.u = None


class Stroke:
    def __init__(self, hand, number):
        self.hand, self.number, self.marks = hand, number, {}
        self.entry_position = self.breath = self.exclusion_reason = ""
        self.entry_height_cm = self.entry_height_cm_u = None
        self.inside = self.counts = False
        self.out, self.must, self.may = {}, set(), set()

    def at(self, event):
        mark = self.marks.get(event)
        return mark.time if mark else None

    def u(self, event):
        mark = self.marks.get(event)
        return mark.u if mark and mark.time is not None else None

    def lines(self):
        return sorted(mark.line for mark in self.marks.values())


def in_order_within(stroke):
    present = [(at, stroke.at(event)) for at, (event, _) in enumerate(CHAIN)]
    present = [(at, time) for at, time in present if time is not None]
    for i, (a, early) in enumerate(present):
        for b, late in present[i + 1 :]:
            strict = any(CHAIN[step][1] for step in range(a, b))
            if late < early or (strict and late == early):
                return False
    below = stroke.at("hand_below_shoulder")
    if below is not None:
        for event in ("water_entry", "full_reach"):
            time = stroke.at(event)
            if time is not None and below < time:
                return False
    return True


def in_order_between(first, second):
    """water_exit of an earlier stroke <= water_entry of a later one, carried through the chains."""
    for a, (event_a, _) in enumerate(CHAIN):
        early = first.at(event_a)
        if early is None:
            continue
        strict_a = any(CHAIN[step][1] for step in range(a, len(CHAIN) - 1))
        for b, (event_b, _) in enumerate(CHAIN):
            late = second.at(event_b)
            if late is None:
                continue
            strict = strict_a or any(CHAIN[step][1] for step in range(0, b))
            if late < early or (strict and late == early):
                return False
        below = second.at("hand_below_shoulder")
        if below is not None and (below < early or (strict_a and below == early)):
            return False
    return True


def keep_in_order(strokes):
    """(kept, refused) of one rater's strokes of one trial."""
    kept, out = [], []
    for hand in HANDS:
        taken = []
        for stroke in sorted((s for s in strokes if s.hand == hand), key=lambda s: s.number):
            # CHOICE: between two strokes the later-numbered one is the one out of order.
            fits = in_order_within(stroke) and all(in_order_between(t, stroke) for t in taken)
            (taken if fits else out).append(stroke)
        kept += taken
    return kept, out


def mean(values):
    values = [value for value in values if value is not None]
    return float(np.mean(values)) if values else None


def root_sum(values):
    values = list(values)
    return None if any(value is None for value in values) else math.sqrt(sum(v * v for v in values))
