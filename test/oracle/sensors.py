"""Sensors: the straight line of a calibration, what it was held against, the checks of the day, zeros."""
import math

import numpy as np

from physics import fit_line, kpa_per
from reading import HANDS, Broken

LIMIT_PCT_FS = 1.0
SAME_PRESSURE = 1e-9
NUMBERS = (
    "intercept_raw",
    "sensitivity_raw_per_kpa",
    "sensitivity_u",
    "residual_sd_kpa",
    "nonlinearity_pct_fs",
    "hysteresis_pct_fs",
)


class Calibration:
    """points: [(kPa, direction, raw)]; references: [(% of applied, kPa)], the largest counts."""

    def __init__(self, points, references=(), range_kpa=None):
        for name in NUMBERS:
            setattr(self, name, None)
        self.range_kpa = range_kpa
        self.scale_pct = max((scale for scale, _ in references if scale is not None), default=0.0)
        self.zero_u_kpa = max((zero for _, zero in references if zero is not None), default=0.0)
        self.largest_kpa = max((abs(point[0]) for point in points), default=None)
        self.verdict = "missing"
        if points:
            self.verdict = "not_fitted"
            self.fit(points)

    @property
    def fitted(self):
        return self.sensitivity_raw_per_kpa is not None

    def fit(self, points):
        x = np.array([point[0] for point in points])
        y = np.array([point[2] for point in points])
        levels = one_pressure_each(x)
        line = fit_line(x, y) if len(levels) > 1 else None
        # A flat line cannot be divided by. Its slope is rounding, not exactly 0.
        if line is None or abs(line[1]) * np.ptp(x) <= 1e-12 * np.max(np.abs(y), initial=1):
            return
        self.intercept_raw, slope = line
        self.sensitivity_raw_per_kpa = slope
        residual = y - (self.intercept_raw + slope * x)
        n = len(x)
        if n > 2:
            sd_raw = math.sqrt(float(residual @ residual) / (n - 2))
            u_fit = sd_raw / math.sqrt(float(np.sum((x - x.mean()) ** 2)))
            self.sensitivity_u = math.hypot(u_fit, slope * self.scale_pct / 100)
            self.residual_sd_kpa = sd_raw / abs(slope)
        if self.range_kpa and len(levels) >= 3:
            full = abs(slope) * self.range_kpa
            up = np.array([point[1] == "up" for point in points])
            self.nonlinearity_pct_fs = 100 * max(abs(residual[at].mean()) for at in levels) / full
            both = [abs(y[at & up].mean() - y[at & ~up].mean())
                    for at in levels if (at & up).any() and (at & ~up).any()]
            self.hysteresis_pct_fs = 100 * max(both) / full if both else None
        self.verdict = self.judge(len(levels))

    def judge(self, levels):
        numbers = (self.nonlinearity_pct_fs, self.hysteresis_pct_fs)
        broken = any(number is not None and number > LIMIT_PCT_FS for number in numbers)
        if broken or self.sensitivity_raw_per_kpa < 0:
            return "rejected"
        short = self.range_kpa and self.largest_kpa < self.range_kpa / 2
        # CHOICE: a limit that could not be held against anything is a remark too.
        if levels < 3 or short or any(number is None for number in numbers):
            return "remark"
        return "accepted"


def one_pressure_each(x):
    """A mask per different pressure: two that differ by at most 1e-9 of the larger are one."""
    order, groups = np.argsort(x), []
    for at in order:
        last = groups[-1][-1] if groups else None
        if last is not None and abs(x[at] - x[last]) <= SAME_PRESSURE * max(abs(x[at]), abs(x[last])):
            groups[-1].append(at)
        else:
            groups.append([at])
    masks = []
    for group in groups:
        mask = np.zeros(len(x), bool)
        mask[group] = True
        masks.append(mask)
    return masks


def read_calibration(day):
    points = {sensor: [] for sensor in day.sensors}
    references = {sensor: [] for sensor in day.sensors}

    def take(row):
        sensor = day.known_sensor(row)
        direction = row.one_of("direction", ("up", "down"))
        applied = row.number("applied", needed=True)
        factor = kpa_per(row.text("applied_unit"), day.pool)
        raw = row.number("raw", needed=True)
        scale = row.number("reference_scale_u_pct", least=0)
        zero = row.number("reference_zero_u", least=0)
        # CHOICE: a step may be met once going up and once coming down, so both are its name.
        key = (sensor, row.text("step"), direction, applied, row.text("applied_unit"), raw)

        def keep():
            points[sensor].append((applied * factor, direction, raw))
            references[sensor].append((scale, None if zero is None else zero * factor))

        return key, keep

    day.each("calibration.csv", ("sensor", "direction", "applied", "applied_unit", "raw"), take)
    day.calibrations = {}
    for sensor, spec in day.sensors.items():
        day.calibrations[sensor] = Calibration(
            points[sensor], references[sensor], spec.get("range_kpa"))
        if not day.calibrations[sensor].fitted:
            day.refused.allowed("calibration.csv", None)


def read_zeros(day):
    day.zeros = {}

    def take(row):
        sensor = day.known_sensor(row)
        key = (sensor, row.text("trial"), row.one_of("when", ("before", "after")))
        raw = row.number("raw", needed=True)
        return key, lambda: day.zeros.__setitem__(key, raw)

    day.each_of_trial("zeros.csv", ("sensor", "when", "raw"), take, blank=True)


def elsewhere(day, sensor):
    """The trace column that carries what this sensor measured already calibrated, or None."""
    for hand in HANDS:
        column = day.columns.get(hand) or {}
        # CHOICE: a spare is used as the sensor is whose hand it has.
        if column.get("sensor") == sensor or day.sensors[sensor].get("hand") == hand:
            return column if column.get("quantity", "raw") != "raw" else None
    return None


def read_checks(day):
    """check[sensor, when]: the deviation of largest size, kPa, or None."""
    readings = {}

    def take(row):
        sensor = day.known_sensor(row)
        when = row.one_of("when", ("start", "end"))
        applied = row.number("applied", needed=True)
        factor = kpa_per(row.text("applied_unit"), day.pool)
        raw = row.number("raw", needed=True)

        def keep():
            readings.setdefault((sensor, when), []).append((applied, applied * factor, raw))

        return (sensor, when, applied, row.text("applied_unit")), keep

    day.each("checks.csv", ("sensor", "when", "applied", "applied_unit", "raw"), take,
             twice=day.refused.allowed)
    day.checks = {}
    for sensor in day.sensors:
        fit, other = day.calibrations[sensor], elsewhere(day, sensor)
        for when in ("start", "end"):
            day.checks[sensor, when] = None
            rows = readings.get((sensor, when), [])
            if other:
                if other["quantity"] == "force":
                    continue
                intercept, per_kpa = 0.0, 1 / kpa_per(other["unit"], day.pool)
            elif fit.fitted:
                intercept, per_kpa = fit.intercept_raw, fit.sensitivity_raw_per_kpa
            else:
                continue
            zero = next((raw for applied, _, raw in rows if applied == 0), intercept)
            found = [(raw - zero) / per_kpa - kpa for applied, kpa, raw in rows if applied != 0]
            if found:
                day.checks[sensor, when] = max(found, key=abs)


def check_failed(day, sensor):
    limit = day.accept.get("max_check_deviation_kpa")
    if limit is None or sensor not in day.sensors:
        return False
    found = [day.checks[sensor, when] for when in ("start", "end")]
    return any(value is not None and abs(value) > limit for value in found)


def calibration_rows(day):
    rows = {}
    for sensor, spec in day.sensors.items():
        fit = day.calibrations[sensor]
        row = dict(sensor=sensor, hand=spec.get("hand", ""))
        row.update((name, getattr(fit, name)) for name in NUMBERS)
        row["check_start_kpa"] = day.checks[sensor, "start"]
        row["check_end_kpa"] = day.checks[sensor, "end"]
        row["verdict"] = fit.verdict
        rows[sensor] = row
    return rows


class Zero:
    """The zero of one hand of one trial: `before`, `after` in the column's unit, where it came from."""

    def __init__(self, day, code, sensor, without):
        def read(trial):
            return [day.zeros.get((sensor, trial, when)) for when in ("before", "after")]

        own, of_day = read(code), read("")
        self.own_shift = own[1] - own[0] if None not in own else None
        self.shift = None
        if own != [None, None]:
            self.source, self.shift = "own", self.own_shift
            known = [value for value in own if value is not None]
            self.before, self.after = known[0], known[-1]
        elif of_day != [None, None]:
            self.source = "day"
            known = [value for value in of_day if value is not None]
            self.before = self.after = sum(known) / len(known)
            self.shift = known[1] - known[0] if len(known) == 2 else None
        else:
            self.source = "none"
            self.before = self.after = without

    def along(self, count):
        if self.before is None or count < 2:
            return self.before
        return self.before + (self.after - self.before) * np.arange(count) / (count - 1)
