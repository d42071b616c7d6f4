"""Units of pressure and force, straight lines, the low-pass filter.

Sources: density of water, Tanaka et al. 2001, Metrologia 38:301; normal gravity, GRS80
(Moritz 2000); cutoff corrected on the tangent, Winter, Biomechanics and Motor Control of
Human Movement. Filtering itself is SciPy's.
"""
import math

import numpy as np
from scipy.signal import butter, sosfiltfilt

from reading import Broken

NEWTON = {"N": 1.0, "lbf": 4.4482216152605}
PASCAL = {
    "kPa": 1000.0,
    "Pa": 1.0,
    "mbar": 100.0,
    "cmH2O": 98.0665,
    "mmHg": 133.322387415,
    "psi": 6894.757293168,
}
COMMON_WEIGHT = 9775.0  # N/m3, where the pool's temperature or latitude is not given


def water_density(celsius):
    """kg/m3, Tanaka 2001 with a5 = 999.974950, no term for air or compressibility."""
    a1, a2, a3, a4, a5 = -3.983035, 301.797, 522528.9, 69.34881, 999.974950
    return a5 * (1 - (celsius + a1) ** 2 * (celsius + a2) / (a3 * (celsius + a4)))


def gravity(latitude_deg, altitude_m):
    """m/s2, GRS80 normal gravity (Somigliana) less the free-air term."""
    s2 = math.sin(math.radians(latitude_deg)) ** 2
    normal = 9.7803267715 * (1 + 0.001931851353 * s2) / math.sqrt(1 - 0.0066943800229 * s2)
    return normal - 3.086e-6 * altitude_m


def weight_of_water(pool):
    """Density times gravity in the day's pool, N/m3; None without temperature or latitude."""
    celsius, latitude = pool.get("water_temperature_c"), pool.get("latitude_deg")
    if celsius is None or latitude is None:
        return None
    # CHOICE: an absent altitude is sea level, for m_water as the contract says it for the taps.
    return water_density(celsius) * gravity(latitude, pool.get("altitude_m") or 0)


def kpa_per(unit, pool):
    """kPa in one of `unit`; Broken where it is not one of the contract's or cannot be had."""
    if unit == "m_water":
        weight = weight_of_water(pool)
        if weight is None:
            raise Broken("m_water without the pool's temperature and latitude")
        return weight / 1000.0
    if unit not in PASCAL:
        raise Broken("the unit of pressure is unknown")
    return PASCAL[unit] / 1000.0


def fit_line(x, y):
    """Ordinary least squares of y on x, about the mean of x. (intercept, slope) or None."""
    x, y = np.asarray(x, float), np.asarray(y, float)
    if len(x) < 2 or np.all(x == x[0]):
        return None
    middle = x.mean()
    design = np.column_stack([np.ones_like(x), x - middle])
    (level, slope), *_ = np.linalg.lstsq(design, y, rcond=None)
    return float(level - slope * middle), float(slope)


def low_pass(x, fs, spec):
    """Zero-lag Butterworth whose two passes together give 1/sqrt(2) at cutoff_hz.
    None where it cannot be run."""
    # CHOICE: a filter that is not given is none.
    if not spec or spec.get("kind") == "none":
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
