"""One invented trial: the swim, its trace, its gaps and its marks."""
import os

import numpy as np
from day_files import Dialect, Raw

EVENTS = (
    "water_entry",
    "full_reach",
    "hand_below_shoulder",
    "propulsion_start",
    "shoulder_plane",
    "propulsion_end",
    "water_exit",
)


class TraceFile:
    def __init__(self, name):
        self.name, self.rows, self.mess = name, None, []


class TrialMaker:
    """The trials of a day; DayMaker, which adds the day itself, sets the fields used here."""

    def make_trial(self, number):
        rng = self.rng
        code = "T%02d" % number
        participant, consent = self.people[
            number - 1 if number <= len(self.people) else int(rng.integers(0, len(self.people)))
        ]
        has_trace = rng.random() > 0.1
        length = float(rng.uniform(6, 14))
        cycle = float(rng.uniform(0.9, 1.35))
        share = float(rng.uniform(0.38, 0.56))
        style = str(rng.choice(["force", "video", "split", "mixed"]))
        pairs = int(rng.choice([0, 1, 2, 3, 5], p=[0.1, 0.2, 0.25, 0.25, 0.2]))
        if style == "force":
            pairs = int(rng.choice([0, 2]))
        start = float(rng.choice([0.0, 0.0, 12.34, 803.5]))
        fs = self.fixed_rate or float(rng.choice([500, 1000 / 3, 1000, 200, 250]))
        if self.fixed_rate:
            start = 0.0
        offset, rate = float(rng.uniform(-40, -5) + start), 1 + float(rng.normal(0, 5e-5))
        if not has_trace:
            style, pairs, start, offset, rate = "video", 0, 3.0, 0.0, 1.0
        true_strokes = self.swim(start, length, cycle, share)
        facts = dict(code=code, consent=consent, withheld=consent in ("withdrawn", "missing", ""),
                     has_trace=has_trace, style=style, pairs=pairs, participant=participant,
                     events=[], sync=[], placed=style == "force" or pairs > 0 or not has_trace)
        self.trial_facts[code] = facts
        trace = ""
        left = "S_03.b" if self.spare and rng.random() < 0.3 else ""
        by_code = {s["code"]: s for s in self.sensors}
        sensors = {"left": by_code[left or "S-01"], "right": by_code["S-02"]}
        # The hands wore each other's sensors: each reads the other's column.
        swapped = rng.random() < 0.1
        worn = ("S-02", left or "S-01", self.names[2], self.names[1]) if swapped else (left, "", "", "")
        if has_trace:
            trace = "traces/%s.csv" % code
            self.make_trace(trace, facts, start, length, fs, true_strokes, sensors)
            for hand in ("left", "right"):
                self.make_zeros(code, sensors[hand])
        section = None
        if rng.random() > 0.1:
            a = start + float(rng.uniform(0.5, 2))
            section = (round(a, 3), round(min(start + length - 0.3,
                                              a + float(rng.uniform(4, 8))), 3))
        excluded = rng.random() < 0.1
        self.tables["trials.csv"].add(
            trial=code, participant=participant, attempt=int(rng.integers(1, 3)),
            condition=str(rng.choice(["", "sprint", "paddles.off"])), trace=trace, video="",
            left_sensor=worn[0], right_sensor=worn[1], left_column=worn[2], right_column=worn[3],
            section_start_s=section and section[0], section_end_s=section and section[1],
            timing_method=str(rng.choice(["video", "gate", "stopwatch", ""])),
            timing_u_s=float(np.round(rng.uniform(0.003, 0.02), 4)) if rng.random() > 0.15 else None,
            status="excluded" if excluded else str(rng.choice(["recorded", "accepted"])),
            exclusion_reason="wrong start; swum again, too" if excluded else "")
        clocks = {c["camera"]: (offset + 0.7 * k, rate, c["frame_rate_hz"])
                  for k, c in enumerate(self.cameras)}
        for camera, (off, r, frame_rate) in clocks.items():
            self.make_sync(facts, camera, pairs, start, length, off, r)
        camera = str(rng.choice(list(clocks))) if has_trace else "A"
        for at, rater in enumerate(self.raters):
            if at == 0 or rng.random() < 0.6:
                self.mark(facts, true_strokes, rater, camera, clocks[camera], start, fs)

    def swim(self, start, length, cycle, share):
        """True times of every stroke, on the trial's clock: [(hand, number, {event: time})]."""
        rng, strokes = self.rng, []
        for hand, lead in (("left", 0.0), ("right", 0.5)):
            t, number = start + 0.35 + lead * cycle + float(rng.uniform(-0.02, 0.02)), 1
            while t + cycle < start + length - 0.1:
                own = cycle * float(rng.normal(1, 0.015))
                entry, p = t, t + own * float(rng.uniform(0.25, 0.32))
                e = p + own * share * float(rng.normal(1, 0.02))
                out = e + 0.055
                strokes.append((hand, number, {
                    "water_entry": entry,
                    "full_reach": entry + (p - entry) * float(rng.uniform(0.3, 0.8)),
                    "hand_below_shoulder": p + float(rng.uniform(0, 0.1)),
                    "propulsion_start": p,
                    "shoulder_plane": p + (e - p) * float(rng.uniform(0.4, 0.6)),
                    "propulsion_end": e,
                    "water_exit": out,
                }))
                t, number = t + own, number + 1
        return strokes

    def make_sync(self, facts, camera, pairs, start, length, offset, rate):
        rng = self.rng
        if pairs == 0:
            return
        if pairs == 1:
            times = [start + length / 2]
        else:
            times = np.linspace(start - 0.5, start + length + 0.5, pairs)
        for k, time in enumerate(times):
            seen = (time - offset) / rate
            row = self.tables["sync.csv"].add(
                trial=facts["code"], camera=camera,
                trace_s=round(float(time + rng.normal(0, 0.002)), 4),
                video_s=round(float(seen), 3), what=["lamp", "tap"][k % 2])
            facts["sync"].append(row)

    def make_zeros(self, code, sensor):
        rng = self.rng
        drift = sensor["drift"] if "drift" in sensor else 0.0
        kind = str(rng.choice(["both", "before", "after", "none"], p=[0.55, 0.2, 0.1, 0.15]))
        for when in ("before", "after"):
            if kind in ("both", when):
                shift = 0 if when == "before" else drift + rng.normal(0, 0.05) * sensor["slope"]
                self.tables["zeros.csv"].add(
                    sensor=sensor["code"], trial=code, when=when,
                    raw=self.raw(sensor, sensor["zero"] + shift))

    # ---------------------------------------------------------------- traces

    def make_trace(self, name, facts, start, length, fs, strokes, sensors):
        rng = self.rng
        # Now and then the logger stops before the swimmer does.
        cut = float(rng.uniform(0.5, 2)) if rng.random() < 0.15 else 0.0
        count = int((length - cut) * fs)
        grid = start + np.arange(count) / fs
        file = TraceFile(name)
        raws = {}
        for hand in ("left", "right"):
            sensor = sensors[hand]
            kpa = 0.15 * np.sin(2 * np.pi * 0.4 * grid) + rng.normal(0, 0.08, count)
            for side, _, t in strokes:
                if side == hand:
                    p, e = t["propulsion_start"], t["propulsion_end"]
                    inside = (grid >= p) & (grid <= e)
                    kpa[inside] += float(rng.uniform(4, 8)) * np.sin(
                        np.pi * (grid[inside] - p) / (e - p))
            raw = sensor["zero"] + sensor["slope"] * kpa
            raws[hand] = np.rint(raw).astype(int) if sensor["counts"] else np.round(raw, 5)
        times, digits = self.print_times(grid, fs)
        cells = {hand: [str(v) if sensors[hand]["counts"] else float(v) for v in raws[hand]]
                 for hand in raws}
        absent = np.zeros(count, bool)
        self.make_gaps(cells, absent, fs, count)
        file.dialect = Dialect(rng)
        file.digits, file.times, file.cells, file.absent = digits, times, cells, absent
        file.units = rng.random() < 0.3
        file.fs = fs
        self.trace_files[name] = file

    def print_times(self, grid, fs):
        """Times as numbers of the day's unit with the digits to print; None with a fixed rate."""
        rng = self.rng
        if self.fixed_rate:
            return None, 0
        kind = str(rng.choice(["exact", "jitter", "wander", "coarse"], p=[0.4, 0.25, 0.15, 0.2]))
        times = grid.copy()
        if kind == "jitter":
            times = times + rng.normal(0, 0.04 / fs, len(grid))
        if kind == "wander":
            times = times + 4 / fs * np.sin(2 * np.pi * (grid - grid[0]) / (grid[-1] - grid[0]))
        # Coarse: milliseconds, as many loggers print; safe while a step is 2 ms or more.
        seconds_digits = 3 if kind == "coarse" and fs <= 500 else 6
        factor, shift = {"s": (1.0, 0), "ms": (1e3, 3), "us": (1e6, 6)}[self.time_unit]
        return times * factor, max(0, seconds_digits - shift)

    def make_gaps(self, cells, absent, fs, count):
        rng = self.rng
        if rng.random() < 0.4:
            return
        for _ in range(int(rng.integers(1, 4))):
            size = int(rng.choice([1, 2, 3, 8, 12, 30, 60]))
            # A gap as long as the limit to the last bit would test the doubles, not the reading.
            while abs(size / fs * 1000 / self.max_gap_ms - 1) < 0.02:
                size += 1
            at = int(rng.choice([0, count - size, int(rng.integers(5, count - size - 5))],
                                p=[0.08, 0.08, 0.84]))
            kind = str(rng.choice(["", "NaN", "-", "absent"]))
            inside = 1 < at < count - size - 1
            if kind == "absent" and not self.fixed_rate and inside:
                absent[at : at + size] = True
                continue
            kind = "" if kind == "absent" else kind
            hands = [("left",), ("right",), ("left", "right")][int(rng.integers(0, 3))]
            for hand in hands:
                cells[hand][at : at + size] = [Raw(kind)] * size

    def write_trace(self, file):
        dialect = file.dialect
        lines = dialect.opening()
        names = list(self.names[1:]) if file.times is None else list(self.names)
        extra = ["battery"] if self.extra_column else []
        lines.append(dialect.separator.join(dialect.cell(c) for c in names + extra))
        if file.units:
            units = (["counts", "counts"] if file.times is None
                     else [self.time_unit, "counts", "counts"])
            lines.append(dialect.separator.join(units + ["%"] * len(extra)))
        head = len(lines)
        rows = []  # (text, what is broken)
        for k in range(len(file.cells["left"])):
            if file.absent[k]:
                continue
            row = [] if file.times is None else [dialect.number(file.times[k], file.digits)]
            row += [dialect.cell(file.cells[hand][k]) for hand in ("left", "right")]
            rows.append([row + ["ok"] * len(extra), None])
        for mess in file.mess:
            mess(file, rows)
        for at, (row, what) in enumerate(rows):
            if what:
                self.broken.append({"file": file.name, "line": head + at + 1, "what": what})
            lines.append(dialect.separator.join(row))
        path = os.path.join(self.folder, file.name)
        dialect.write(path, lines)

    # ---------------------------------------------------------------- marks

    def mark(self, facts, strokes, rater, camera, clock, start, fs):
        rng = self.rng
        offset, rate, frame_rate = clock
        code, style = facts["code"], facts["style"]
        first = rater == self.raters[0]
        dropped = rng.random() < 0.05
        events, judgements = [], []
        touching = rng.random() < 0.08 and style in ("force", "video")
        for hand, number, times in strokes:
            if dropped or rng.random() < 0.08:
                continue
            wobble = 0.0 if first else float(rng.normal(0, 0.004))
            for event in EVENTS:
                lost = 0.04 if event.startswith("propulsion") else 0.1
                if rng.random() < lost:
                    continue
                time = times["propulsion_start"] if (
                    touching and event == "full_reach") else times[event]
                time += wobble
                on_film = style == "video" or (style == "split" and "propulsion" not in event)
                if style == "mixed":
                    on_film = rng.random() < 0.5
                if on_film:
                    frame = round((time - offset) / rate * frame_rate)
                    row = dict(time_s=round(frame / frame_rate, 6), clock="video",
                               camera=camera if camera != "A" or rng.random() < 0.8 else "")
                else:
                    sample = round((time - start) * fs)
                    row = dict(time_s=round(start + sample / fs, 6), clock="trace", camera="")
                events.append(dict(trial=code, hand=hand, stroke=number, event=event,
                                   rater=rater, **row))
            if rng.random() < 0.85:
                judgements.append(dict(
                    trial=code, hand=hand, stroke=number,
                    entry_position=str(rng.choice(["above", "level", "below", ""],
                                                  p=[0.4, 0.3, 0.2, 0.1])),
                    breath=str(rng.choice(["none", "left", "right", ""])),
                    exclusion_reason="reach to the wall" if rng.random() < 0.08 else "",
                    rater=rater))
        facts["events"] += events if first else []
        self.tables["events.csv"].rows += events
        self.tables["strokes.csv"].rows += judgements
