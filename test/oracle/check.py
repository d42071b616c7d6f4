"""The verdict on a trial: good, look or swim_again, as the set of what the contract allows."""
import numpy as np
from reading import HANDS
from sensors import check_failed
from traces import long_gaps


def clock_flags(day, code, flags, trace, interval_of):
    """Adds clock_doubtful and clock_unchecked; any camera of the trial counts."""
    for (trial, camera), sync in day.syncs.items():
        if trial != code:
            continue
        # CHOICE: a trial whose trace is lost has no sampling rate to judge by.
        named = flags.must if trace else flags.may
        if sync.one_time:
            named.add("clock_unchecked")
        d = interval_of(camera)
        if trace is None or d is None:
            flags.may.add("clock_doubtful")
        elif sync.doubtful(d, 1 / trace.fs):
            flags.must.add("clock_doubtful")


def sensor_flags(day, trial, flags):
    for hand in HANDS:
        if check_failed(day, trial[hand]):
            flags.must.add("sensor_check_failed")


class Check:
    def __init__(self):
        self.again = self.look = False
        self.unsure = set()  # other verdicts that the contract leaves open

    def values(self):
        if self.again:
            return ["swim_again"]
        worst = "look" if self.look else "good"
        return sorted({worst} | ({"swim_again"} & self.unsure)
                      | (self.unsure if not self.look else set()))


def saturation(check, day, trial, hand, trace, section, limit):
    """Holds the share of measured samples at an end of the raw range against its limit."""
    spec = day.sensors.get(trial[hand]) or {}
    low, high = spec.get("raw_min"), spec.get("raw_max")
    if limit is None:
        return
    if trial["columns"][hand].get("quantity", "raw") != "raw":
        # CHOICE: the raw range says nothing of a reading that was calibrated elsewhere.
        return
    if low is None or high is None:
        check.look = True
        return
    _, missing, read = trace.hands[hand]
    time = trace.t0 + np.flatnonzero(~missing) / trace.fs
    full = (read <= low) | (read >= high)
    within = (time >= trial["start"]) & (time <= trial["end"]) if section else np.zeros(len(time), bool)
    whole = float(np.mean(full)) > limit
    inside = section and within.any() and float(np.mean(full[within])) > limit
    if whole and inside:
        check.again = True
    elif whole and section and not full[within].any():
        check.look = True
    elif whole or inside:
        # CHOICE: whether the share is that of the section or of the trace is not said.
        check.look |= whole
        check.unsure |= {"look", "swim_again"}


def judge(day, trial, trace, section, out, kept, flags):
    check, accept = Check(), day.accept
    if trace is None:
        check.again = True
    if {"sensor_check_failed", "clock_doubtful"} & flags.must:
        check.look = True
    if "clock_doubtful" in flags.may:
        check.unsure.add("look")
    least = accept.get("min_strokes_per_hand")
    if least is not None:
        if section and kept:
            check.again |= min(out["strokes_left"], out["strokes_right"]) < least
        else:
            check.look = True
    for hand in HANDS:
        there = trace is not None and hand in trace.hands
        if trace is not None and not there:
            # CHOICE: a hand without samples cannot be judged; if its column is there, it may be swum again.
            check.look = True
            if trial["columns"][hand]:
                check.unsure.add("swim_again")
        limit = accept.get("max_zero_shift_kpa")
        if limit is not None:
            shift = out["zero_shift_%s_kpa" % hand]
            if shift is None:
                check.look = True
            else:
                check.again |= abs(shift) > limit
        if there:
            gaps(check, trial, trace, hand, section, accept.get("max_gap_ms"))
            limit = accept.get("max_saturated_fraction")
            saturation(check, day, trial, hand, trace, section, limit)
        if out["mean_force_%s_n" % hand] is None:
            # CHOICE: a trial without forces is good by its limits; a program may ask for a look.
            check.unsure.add("look")
    if not section or not kept:
        check.unsure.add("look")
    return check.values()


def gaps(check, trial, trace, hand, section, limit):
    for first, last in long_gaps(trace.hands[hand][1], trace.fs, limit):
        begins, ends = trace.t0 + first / trace.fs, trace.t0 + last / trace.fs
        if section and begins <= trial["end"] and ends >= trial["start"]:
            check.again = True
        else:
            check.look = True
