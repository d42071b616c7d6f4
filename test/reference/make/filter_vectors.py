"""Zero-lag Butterworth vectors by SciPy, for orders 1 to 8 at several rates: ../data/filter-vectors.json.

Each pass is designed at the cutoff that, on the tangent scale, is the asked one over C = (2^(1/2) - 1)^(1/(2n)), so
that both passes together have the gain 1/sqrt(2) there. Edges: odd extension of 3 (n + 1) samples.
Run: python3 make/filter_vectors.py (needs numpy and scipy).
"""
import json
import math
import pathlib

import numpy as np
import scipy
from scipy import signal

CASES = [(1, 100, 6), (2, 100, 6), (3, 100, 6), (4, 200, 12), (5, 250, 10), (6, 500, 20), (7, 1000, 40), (8, 59.94, 8),
         (2, 50, 12), (3, 1000, 12)]
rng = np.random.default_rng(20260314)
t = np.arange(120)
series = np.round(40 + 30 * np.sin(t / 9) + 8 * np.sin(t / 1.7 + 0.4) + rng.normal(0, 3, 120) + 0.1 * t, 4)

vectors = []
for order, fs, fc in CASES:
    c = (math.sqrt(2) - 1) ** (1 / (2 * order))
    design = fs / math.pi * math.atan(math.tan(math.pi * fc / fs) / c)
    pad = 3 * (order + 1)
    b, a = signal.butter(order, design, fs=fs)
    sos = signal.butter(order, design, fs=fs, output="sos")
    by_sections = signal.sosfiltfilt(sos, series, padtype="odd", padlen=pad)
    by_polynomial = signal.filtfilt(b, a, series, padtype="odd", padlen=pad)
    gain = abs(signal.sosfreqz(sos, worN=[fc], fs=fs)[1][0]) ** 2
    vectors.append({
        "order": order, "fs": fs, "fc": fc, "gain_at_fc": gain,
        "sosfiltfilt": by_sections.tolist(),
        "max_abs_diff_filtfilt": float(np.abs(by_sections - by_polynomial).max()),
    })

rows = ",\n".join("    " + json.dumps(vector) for vector in vectors)
pathlib.Path(__file__).parent.parent.joinpath("data/filter-vectors.json").write_text(
    '{\n  "source": "scipy.signal.sosfiltfilt and filtfilt, SciPy %s (open software)",\n' % scipy.__version__
    + '  "series": %s,\n  "vectors": [\n%s\n  ]\n}\n' % (json.dumps(series.tolist()), rows)
)
