"""Hand force: zero, pressure difference, filter, the numbers of each stroke and their uncertainties."""
import math

import numpy as np
from physics import COMMON_WEIGHT, NEWTON, kpa_per, low_pass, weight_of_water
from reading import HANDS
from sensors import Zero
from strokes import mean
from traces import long_gaps

ROOT3 = math.sqrt(3)


class Hand:
    """One hand of one trial: what its trace column means, and the force on the trace's grid."""

    def __init__(self, day, code, trial, hand, trace, person):
        self.day, self.hand, self.trace = day, hand, trace
        self.area, self.area_u = person[hand], person[hand + "_u"]
        column = trial["columns"][hand]
        self.sensor = trial[hand]
        self.quantity = column.get("quantity", "raw")
        self.fit = day.calibrations.get(self.sensor)
        self.scale_pct = column.get("scale_u_pct")
        intercept = self.fit.intercept_raw if self.fit else None
        self.zero = Zero(day, code, self.sensor, intercept if self.quantity == "raw" else 0.0)
        # Of the reading: how many to a kPa (raw, pressure) or how many newton it is worth (force).
        if self.quantity == "raw":
            self.per_kpa = self.fit.sensitivity_raw_per_kpa if self.fit else None
        elif self.quantity == "pressure":
            self.per_kpa = 1 / kpa_per(column["unit"], day.pool)
        else:
            self.per_kpa, self.newton = None, NEWTON[column["unit"]]
        # CHOICE: the word is said of force; of a pressure, only a plain false turns the filter off.
        told = column.get("filter")
        if self.quantity == "force":
            self.filtered = told is True
        else:
            self.filtered = self.quantity == "raw" or told is not False
        self.signal = self.read_signal()

    def read_signal(self):
        """Filtered kPa (N where calibrated elsewhere as force) on the trace's grid, or None."""
        known = self.quantity == "force" or self.per_kpa is not None
        if not self.trace or self.hand not in self.trace.hands or not known:
            return None
        # CHOICE: the reading is filled first, the zero taken off afterwards.
        reading = self.trace.hands[self.hand][0] - self.zero.along(self.trace.count)
        value = reading * self.newton if self.quantity == "force" else reading / self.per_kpa
        return low_pass(value, self.trace.fs, self.day.protocol.get("filter") if self.filtered else None)

    def force(self):
        if self.signal is None or self.quantity == "force":
            return self.signal
        return None if self.area is None else 0.1 * self.signal * self.area

    def in_kpa(self, shift):
        known = shift is not None and self.quantity != "force" and self.per_kpa is not None
        return shift / self.per_kpa if known else None

    def u_zero(self):
        """Standard uncertainty of the zero, kPa, or None."""
        shift, limit = self.in_kpa(self.zero.shift), self.day.accept.get("max_zero_shift_kpa")
        if shift is None and limit is None:
            return None
        u = abs(shift) / (2 * ROOT3) if shift is not None else limit / ROOT3
        if self.quantity == "raw" and self.zero.source == "none":
            u = math.hypot(u, self.fit.zero_u_kpa)
        return u

    def u_tap(self):
        offset = self.day.protocol.get("tap_offset_mm")
        weight = weight_of_water(self.day.pool) or COMMON_WEIGHT
        return weight * (10 if offset is None else offset) * 1e-6 / ROOT3

    def u(self, value, lasting=1.0):
        """Standard uncertainty of a force (or of an impulse over `lasting` s), or None."""
        if value is None or (self.quantity != "raw" and self.scale_pct is None):
            return None
        if self.quantity == "force":
            return abs(value) * self.scale_pct / 100
        if self.quantity == "raw":
            sd = self.fit.residual_sd_kpa
            scale = self.fit.sensitivity_u
            scale = None if scale is None else scale / abs(self.per_kpa)
        else:
            sd, scale = 0.0, self.scale_pct / 100
        u_zero = self.u_zero()
        if None in (self.area_u, scale, sd, u_zero):
            return None
        pressure = sd**2 + u_zero**2 + self.u_tap() ** 2
        return math.sqrt(
            value**2 * ((self.area_u / self.area) ** 2 + scale**2)
            + (0.1 * self.area * lasting) ** 2 * pressure
        )

    def flag(self, flags):
        used = flags.must if self.signal is not None else flags.may
        if self.quantity != "raw":
            used.add("calibrated_elsewhere")
        if self.zero.source == "day":
            used.add("zero_from_day")
        if self.zero.source == "none":
            (used if self.quantity == "raw" else set()).add("zero_from_calibration")
        if self.quantity != "force" and self.zero.shift is None:
            unknown = self.day.accept.get("max_zero_shift_kpa") is None
            (used if unknown else flags.may).add("no_zero_shift")
        # CHOICE: the flag's name also fits a trial whose own zero was not read twice.
        if self.zero.own_shift is None:
            flags.may.add("no_zero_shift")


NAMES = ("peak_force_n", "mean_force_n", "impulse_ns")


def stroke_force(hand, stroke, force, gaps):
    """Sets the force numbers of one stroke."""
    trace = hand.trace
    start, end = stroke.at("propulsion_start"), stroke.at("propulsion_end")
    if start is None or end is None or not trace:
        stroke.may |= {"outside_trace", "gap", "beyond_calibration"}
        return
    known = force is not None
    if not trace.covers(start, end):
        (stroke.must if known else stroke.may).add("outside_trace")
        stroke.may |= {"gap", "beyond_calibration"}
        return
    first, last = trace.first_index(start), trace.last_index(end)
    if any(a <= last and b >= first for a, b in gaps):
        (stroke.must if known else stroke.may).add("gap")
        stroke.may.add("beyond_calibration")
        return
    grid = trace.t0 + np.arange(trace.count) / trace.fs
    within = slice(max(first, 0), min(last, trace.count - 1) + 1)
    if hand.quantity == "raw" and hand.signal is not None and first <= last:
        beyond = np.abs(hand.signal[within]).max() > hand.fit.largest_kpa
        if beyond:
            # CHOICE: without a hand area there is no peak for it to be taken from.
            (stroke.must if known else stroke.may).add("beyond_calibration")
    if not known:
        return
    inner = (grid > start) & (grid < end)
    x = np.concatenate([[start], grid[inner], [end]])
    y = np.concatenate(
        [[np.interp(start, grid, force)], force[inner], [np.interp(end, grid, force)]]
    )
    impulse = float(np.sum((y[1:] + y[:-1]) / 2 * np.diff(x)))
    out = stroke.out
    stroke.lasting = end - start
    out["peak_force_n"] = float(force[within].max()) if first <= last else None
    out["mean_force_n"], out["impulse_ns"] = impulse / stroke.lasting, impulse
    out["peak_force_n_u"] = hand.u(out["peak_force_n"])
    out["mean_force_n_u"] = hand.u(out["mean_force_n"])
    out["impulse_ns_u"] = hand.u(impulse, stroke.lasting)


def forces(day, out, flags, code, trial, trace, person, kept, counting):
    for side in HANDS:
        hand = Hand(day, code, trial, side, trace, person)
        hand.flag(flags)
        force, gaps = hand.force(), []
        if hand.signal is not None:
            gaps = long_gaps(trace.hands[side][1], trace.fs, day.accept.get("max_gap_ms"))
        for stroke in kept:
            if stroke.hand == side:
                stroke.out.update({name: None for name in NAMES})
                stroke.out.update({name + "_u": None for name in NAMES})
                stroke_force(hand, stroke, force, gaps)
                if "beyond_calibration" in stroke.must:
                    flags.must.add("beyond_calibration")
                if "beyond_calibration" in stroke.may:
                    flags.may.add("beyond_calibration")
        mine = [s for s in counting if s.hand == side]
        # CHOICE: its strokes = those that count and have a force.
        lasting = mean(s.lasting for s in mine if s.out["impulse_ns"] is not None)
        for name in NAMES:
            stem, unit = name.rsplit("_", 1)
            value = mean(s.out[name] for s in mine)
            full = "%s_%s_%s" % (stem, side, unit)
            out[full] = value
            out[full + "_u"] = hand.u(value, lasting if name == "impulse_ns" else 1.0)
        # CHOICE: a matter of zeros and calibration alone, so it needs no trace.
        out["zero_shift_%s_kpa" % side] = hand.in_kpa(hand.zero.own_shift)
        out["%s_sensor" % side] = hand.sensor or ""
    symmetry(out)


def symmetry(out):
    left, right = out["mean_force_left_n"], out["mean_force_right_n"]
    u_left, u_right = out["mean_force_left_n_u"], out["mean_force_right_n_u"]
    can = left is not None and right is not None and left + right != 0
    out["force_symmetry_pct"] = 100 * (right - left) / ((right + left) / 2) if can else None
    can = can and u_left is not None and u_right is not None
    out["force_symmetry_pct_u"] = (
        400 / (right + left) ** 2 * math.hypot(left * u_right, right * u_left) if can else None
    )
