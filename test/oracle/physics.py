"""Units of pressure, straight lines, calibration of a sensor, the low-pass filter.

Sources: density of water, Tanaka et al. 2001, Metrologia 38:301; normal gravity, GRS80
(Moritz 2000); cutoff corrected on the tangent, Winter, Biomechanics and Motor Control of
Human Movement. Filtering itself is SciPy's.
"""
import math

import numpy as np
from scipy.signal import butter, sosfiltfilt

from reading import Broken


def water_density(celsius):
    """kg/m3, Tanaka 2001 with a5 = 999.974950, no term for air or compressibility."""
    a1, a2, a3, a4, a5 = -3.983035, 301.797, 522528.9, 69.34881, 999.974950
    return a5 * (1 - (celsius + a1) ** 2 * (celsius + a2) / (a3 * (celsius + a4)))


def gravity(latitude_deg, altitude_m):
    """m/s2, GRS80 normal gravity (Somigliana) less the free-air term."""
    s2 = math.sin(math.radians(latitude_deg)) ** 2
    normal = 9.7803267715 * (1 + 0.001931851353 * s2) / math.sqrt(1 - 0.0066943800229 * s2)
    return normal - 3.086e-6 * altitude_m


PASCAL = {
    "kPa": 1000.0,
    "Pa": 1.0,
    "mbar": 100.0,
    "cmH2O": 98.0665,
    "mmHg": 133.322387415,
    "psi": 6894.757293168,
}


def applied_kpa(value, unit, pool):
    if unit == "m_water":
        try:
            density = water_density(pool["water_temperature_c"])
            # CHOICE: an absent altitude is sea level, an absent latitude or temperature is not guessed.
            pascal = density * gravity(pool["latitude_deg"], pool.get("altitude_m") or 0)
        except (KeyError, TypeError) as error:
            raise Broken("m_water without the pool's temperature and latitude") from error
    elif unit in PASCAL:
        pascal = PASCAL[unit]
    else:
        raise Broken("applied_unit is unknown")
    return value * pascal / 1000.0


def fit_line(x, y):
    """Ordinary least squares of y on x, about the mean of x. (intercept, slope) or None."""
    x, y = np.asarray(x, float), np.asarray(y, float)
    if len(x) < 2 or np.all(x == x[0]):
        return None
    middle = x.mean()
    design = np.column_stack([np.ones_like(x), x - middle])
    (level, slope), *_ = np.linalg.lstsq(design, y, rcond=None)
    return float(level - slope * middle), float(slope)


def calibrate(rows, range_kpa):
    """rows: [(kPa, direction, raw)]."""
    empty = dict.fromkeys(
        (
            "intercept_raw",
            "sensitivity_raw_per_kpa",
            "sensitivity_u",
            "residual_sd_kpa",
            "nonlinearity_pct_fs",
            "hysteresis_pct_fs",
        )
    )
    if not rows:
        return empty
    x = np.array([row[0] for row in rows])
    y = np.array([row[2] for row in rows])
    fit = fit_line(x, y)
    # A flat line cannot be divided by. Its slope is rounding, not exactly 0.
    if fit is None or abs(fit[1]) * np.ptp(x) <= 1e-12 * np.max(np.abs(y), initial=1):
        return empty
    intercept, slope = fit
    out = dict(empty, intercept_raw=intercept, sensitivity_raw_per_kpa=slope)
    residual = y - (intercept + slope * x)
    n = len(x)
    if n > 2:
        sd_raw = math.sqrt(float(residual @ residual) / (n - 2))
        out["sensitivity_u"] = sd_raw / math.sqrt(float(np.sum((x - x.mean()) ** 2)))
        out["residual_sd_kpa"] = sd_raw / abs(slope)
    if range_kpa:
        full = abs(slope) * range_kpa
        up = np.array([row[1] == "up" for row in rows])
        levels, both = np.unique(x), []
        out["nonlinearity_pct_fs"] = 100 * max(abs(residual[x == v].mean()) for v in levels) / full
        for level in levels:
            rising, falling = y[(x == level) & up], y[(x == level) & ~up]
            if len(rising) and len(falling):
                both.append(abs(rising.mean() - falling.mean()))
        # CHOICE: no pressure met both ways means no hysteresis number, not 0.
        out["hysteresis_pct_fs"] = 100 * max(both) / full if both else None
    return out


def low_pass(x, fs, spec):
    """Zero-lag Butterworth whose two passes together give 1/sqrt(2) at cutoff_hz.
    None where it cannot be run."""
    if spec.get("kind") == "none":
        return x
    order, cutoff = int(spec["order"]), float(spec["cutoff_hz"])
    edge = 3 * (order + 1)
    if not 0 < cutoff < fs / 2 or len(x) <= edge:
        return None
    correction = (math.sqrt(2) - 1) ** (1 / (2 * order))
    warped = math.tan(math.pi * cutoff / fs) / correction
    # Second-order sections: the same filter as filtfilt's, better conditioned at order 4.
    sections = butter(order, 2 / math.pi * math.atan(warped), output="sos")
    return sosfiltfilt(sections, x, padtype="odd", padlen=edge)
