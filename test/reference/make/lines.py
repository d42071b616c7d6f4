"""Straight lines and Student's t by SciPy: ../data/lines.json.

A noisy calibration of nine pressures up and down, fitted by scipy.stats.linregress; two-sided coverage factors by
scipy.stats.t.ppf. Run: python3 make/lines.py (needs numpy and scipy).
"""
import json
import pathlib

import numpy as np
import scipy
from scipy import stats

rng = np.random.default_rng(11)
pressures = np.concatenate([np.arange(0, 15.1, 1.875), np.arange(15, -0.1, -1.875)])
raw = np.round(32768 + 2041.37 * pressures + rng.normal(0, 9, pressures.size), 1)
fit = stats.linregress(pressures, raw)
residual_sd = float(np.sqrt(np.sum((raw - fit.intercept - fit.slope * pressures) ** 2) / (raw.size - 2)))
coverage = [{"probability": p, "dof": n, "k": float(stats.t.ppf((1 + p) / 2, n))}
            for p in (0.6827, 0.9, 0.95, 0.9545, 0.99) for n in (1, 2, 3, 9, 16, 50.5, 1000)]
pathlib.Path(__file__).parent.parent.joinpath("data/lines.json").write_text(
    "{\n" + ",\n".join("  %s: %s" % (json.dumps(key), json.dumps(value)) for key, value in {
        "source": "scipy.stats.linregress and scipy.stats.t, SciPy %s (open software)" % scipy.__version__,
        "applied_kpa": pressures.tolist(), "raw": raw.tolist(), "intercept": fit.intercept, "slope": fit.slope,
        "intercept_u": fit.intercept_stderr, "slope_u": fit.stderr, "residual_sd": residual_sd, "coverage": coverage,
    }.items()) + "\n}\n"
)
