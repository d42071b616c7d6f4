"""One invented trial: who swims, with what, and when."""
import numpy as np
from make_marks import MarkMaker
from make_sensors import SensorMaker
from make_traces import TraceMaker

EXCLUDED = ("wrong start; swum again, too", "=broken lap", "-stopped", "'@ the wall")


class TrialMaker(SensorMaker, TraceMaker, MarkMaker):
    """The trials of a day; DayMaker, which adds the day itself, sets the fields used here."""

    def make_trial(self, number):
        rng = self.rng
        code = self.trial_code % number
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
                     events=[], sync=[], placed=style == "force" or pairs > 0 or not has_trace,
                     points=rng.random() < 0.3)
        self.trial_facts[code] = facts
        trace = ""
        left = "S_03.b" if self.spare and rng.random() < 0.3 else ""
        unknown = rng.random() < 0.02
        by_code = {s["code"]: s for s in self.sensors}
        sensors = {"left": by_code[left or "S-01"], "right": by_code["S-02"]}
        # The hands wore each other's sensors: each reads the other's column.
        swapped = self.all_raw and rng.random() < 0.1
        worn = ("S-02", left or "S-01", self.names[2], self.names[1]) if swapped else (left, "", "", "")
        if unknown:
            worn = ("S-99", *worn[1:])
        if has_trace:
            trace = "traces/%s.csv" % code
            self.make_trace(trace, start, length, fs, true_strokes, sensors)
            for hand in ("left", "right"):
                self.make_zeros(code, sensors[hand])
        excluded = rng.random() < 0.1
        row = self.tables["trials.csv"].add(
            trial=code, participant=participant, attempt=int(rng.integers(1, 3)),
            condition=str(rng.choice(["", "sprint", "paddles.off", "-25"])), trace=trace, video="",
            left_sensor=worn[0], right_sensor=worn[1], left_column=worn[2], right_column=worn[3],
            section_start_s=None, section_end_s=None,
            timing_method=str(rng.choice(["video", "gate", "stopwatch", ""])),
            timing_u_s=float(np.round(rng.uniform(0.003, 0.02), 4)) if rng.random() > 0.15 else None,
            status="excluded" if excluded else str(rng.choice(["recorded", "accepted", ""])),
            exclusion_reason=str(rng.choice(EXCLUDED)) if excluded else "")
        clocks = {c["camera"]: (offset + 0.7 * k, rate, c["frame_rate_hz"])
                  for k, c in enumerate(self.cameras)}
        for camera, clock in clocks.items():
            self.make_sync(facts, camera, start, length, clock)
        camera = str(rng.choice(list(clocks))) if has_trace else "A"
        for at, rater in enumerate(self.raters):
            if at == 0 or rng.random() < 0.6:
                self.mark(facts, true_strokes, rater, camera, clocks[camera], start, fs)
        self.make_section(row, facts, start, length)

    def make_section(self, row, facts, start, length):
        rng = self.rng
        if rng.random() < 0.1:
            return
        a = start + float(rng.uniform(0.5, 2))
        row["section_start_s"] = round(a, 3)
        row["section_end_s"] = round(min(start + length - 0.3, a + float(rng.uniform(4, 8))), 3)
        if rng.random() < 0.15:
            # A section that begins to the last digit where a propulsion does: it is closed.
            there = [e["time_s"] for e in facts["events"] if e["event"] == "propulsion_start"
                     and e["clock"] == "trace" and e["time_s"] < a + 2]
            if there:
                row["section_start_s"] = there[-1]

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
