"""The clocks of trace and film: the line between them, and the interval of a film's frames."""
import json
import math
import os
import shutil
import subprocess
from fractions import Fraction

import numpy as np
from physics import fit_line
from reading import Broken, inside

RATE_OFF = 5e-4


class Sync:
    """trace = offset + rate * video, for one trial and camera."""

    def __init__(self, pairs):
        trace = np.array([pair[0] for pair in pairs])
        video = np.array([pair[1] for pair in pairs])
        self.trace, self.video, self.n = trace, video, len(pairs)
        fit = fit_line(video, trace)
        self.one_time = fit is None
        self.offset, self.rate = fit if fit else (float(np.mean(trace - video)), 1.0)
        residual = trace - (self.offset + self.rate * video)
        self.residual = float(math.sqrt(np.mean(residual**2))) if len(pairs) >= 3 else None

    def to_trace(self, video):
        return self.offset + self.rate * video

    def to_video(self, trace):
        return (trace - self.offset) / self.rate

    def spread(self):
        return float(np.sum((self.video - self.video.mean()) ** 2))

    def line_variance(self, video, d, step):
        """Variance of the clock line at a film mark, s2."""
        pair = (d**2 + step**2) / 12
        if self.one_time:
            return pair / self.n
        return pair * (1 / self.n + (video - self.video.mean()) ** 2 / self.spread())

    def doubtful(self, d, step):
        """d: frame interval, step: 1/fs, both in s."""
        if self.residual is not None and self.residual > (d + step) / 2:
            return True
        if not self.one_time:
            u_rate = math.sqrt((d**2 + step**2) / 12) / math.sqrt(self.spread())
            if abs(self.rate - 1) > RATE_OFF + 3 * u_rate:
                return True
        return any(np.ptp(self.trace[self.video == time]) > d + step for time in set(self.video))


_frame_cache = {}


def frame_interval(folder, file, camera):
    """d in s: median step of the file's frame times, or 1/frame_rate_hz, or None."""
    if file:
        try:
            path = inside(folder, file)
        except Broken:
            path = None
        if path and os.path.isfile(path):
            if path not in _frame_cache:
                _frame_cache[path] = probe(path)
            if _frame_cache[path] is not None:
                return _frame_cache[path]
    rate = (camera or {}).get("frame_rate_hz")
    return 1 / rate if rate else None


def probe(path):
    """Median step of the first video stream's presentation times, in s; None below two frames.

    Times are whole ticks of the stream's time base: ffprobe's decimal seconds are cut at 1 us.
    """
    tool = shutil.which("ffprobe")
    if not tool:
        raise SystemExit("ffprobe is needed to read the frame times of %s" % path)
    listing = subprocess.run(
        [tool, "-v", "error", "-select_streams", "v:0", "-show_entries",
         "packet=pts:stream=time_base", "-of", "json", path],
        capture_output=True, text=True, check=False,
    ).stdout
    found = json.loads(listing or "{}")
    ticks = sorted(packet["pts"] for packet in found.get("packets", []) if "pts" in packet)
    if len(ticks) < 2 or not found.get("streams"):
        return None
    return float(np.median(np.diff(ticks)) * Fraction(found["streams"][0]["time_base"]))
