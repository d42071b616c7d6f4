"""What people mark and judge in one invented trial, and the moments on both clocks."""
import numpy as np

EVENTS = (
    "water_entry",
    "full_reach",
    "hand_below_shoulder",
    "propulsion_start",
    "shoulder_plane",
    "propulsion_end",
    "water_exit",
)
FORMER = {"full_reach": "arm_entry_complete", "hand_below_shoulder": "below_shoulder_level"}
REASONS = ("reach to the wall", "=lane rope", "-touched the rope", "'+1 kick", "'s wall", "@turn")


class MarkMaker:
    """Part of DayMaker, which sets the fields used here."""

    def make_sync(self, facts, camera, start, length, clock):
        rng, pairs = self.rng, facts["pairs"]
        offset, rate, frame_rate = clock
        if pairs == 0:
            return
        kind = str(rng.choice(["good", "off", "torn", "one moment"], p=[0.72, 0.08, 0.08, 0.12]))
        if pairs == 1:
            times = [start + length / 2]
        elif kind == "one moment":
            times = [start + length / 2] * pairs
        else:
            times = np.linspace(start - 0.5, start + length + 0.5, pairs)
        wide = 0.002 if kind != "torn" and rng.random() < 0.85 else 0.06
        rate = rate * (1.004 if kind == "off" else 1)
        for k, time in enumerate(times):
            seen = (time - offset) / rate
            row = self.tables["sync.csv"].add(
                trial=facts["code"], camera=self.camera_cell(camera),
                trace_s=round(float(time + rng.normal(0, wide)), 5),
                video_s=round(float(seen), 3), what=["lamp", "tap"][k % 2])
            facts["sync"].append(row)

    def camera_cell(self, camera):
        return "" if camera == "A" and (self.unnamed_cameras or self.rng.random() < 0.2) else camera

    def mark(self, facts, strokes, rater, camera, clock, start, fs):
        rng = self.rng
        first = rater == self.raters[0]
        dropped = rng.random() < 0.05
        own = str(rng.choice(["none", "some", "all"], p=[0.6, 0.15, 0.25]))
        shared = {event: float(np.round(rng.uniform(0.001, 0.02), 4))
                  for event in EVENTS if rng.random() < 0.5} if rng.random() < 0.3 else {}
        events, judgements = [], []
        touching = rng.random() < 0.08 and facts["style"] in ("force", "video") and own == "none"
        former = rng.random() < 0.1
        heights = rng.random() < 0.35
        for hand, number, times in strokes:
            if dropped or rng.random() < 0.08:
                continue
            wobble = 0.0 if first else float(rng.normal(0, 0.004))
            for event in EVENTS:
                lost = 0.04 if event.startswith("propulsion") else 0.1
                if rng.random() < lost:
                    continue
                time = times["propulsion_start" if touching and event == "full_reach" else event]
                row = self.place(facts, event, time + wobble, camera, clock, start, fs,
                                 own == "all" or own == "some" and rng.random() < 0.5)
                if event in shared and rng.random() < 0.9:
                    row["time_u_shared_s"] = shared[event] * float(rng.choice([1, 1, 0.5]))
                name = FORMER.get(event, event) if former else event
                events.append(dict(trial=facts["code"], hand=hand, stroke=number, event=name,
                                   rater=rater, **row))
            if rng.random() < 0.85:
                judgements.append(self.judge(facts, hand, number, heights, rater))
        if first and rng.random() < 0.1:
            judgements.append(self.judge(facts, "left", 40, heights, rater))
        facts["events"] += events if first else []
        self.tables["events.csv"].rows += events
        self.tables["strokes.csv"].rows += judgements
        if first and facts["points"]:
            self.make_points(facts, events, camera)

    def place(self, facts, event, time, camera, clock, start, fs, between):
        """One mark on its clock: on the nearest frame or sample, or between them with its own u."""
        rng, style = self.rng, facts["style"]
        offset, rate, frame_rate = clock
        on_film = style == "video" or (style == "split" and "propulsion" not in event)
        if style == "mixed":
            on_film = rng.random() < 0.5
        own = {"time_u_s": float(np.round(rng.uniform(0.001, 0.015), 4))} if between else {}
        if on_film:
            seen = (time - offset) / rate
            if not between:
                seen = round(seen * frame_rate) / frame_rate
            return dict(time_s=round(seen, 6), clock="video", camera=self.camera_cell(camera), **own)
        if not between:
            time = start + round((time - start) * fs) / fs
        return dict(time_s=round(time, 6), clock="trace", camera="", **own)

    def judge(self, facts, hand, number, heights, rater):
        rng = self.rng
        height = float(np.round(rng.normal(0, 8), 1)) if heights and rng.random() < 0.8 else None
        u = float(np.round(rng.uniform(0.5, 3), 1)) if height is not None and rng.random() < 0.8 else None
        position = str(rng.choice(["above", "level", "below", "undecided", ""],
                                  p=[0.37, 0.28, 0.17, 0.08, 0.1]))
        return dict(
            trial=facts["code"], hand=hand, stroke=number, entry_position=position,
            breath=str(rng.choice(["none", "left", "right", ""])),
            exclusion_reason=str(rng.choice(REASONS)) if rng.random() < 0.08 else "",
            rater=rater, entry_height_cm=height, entry_height_cm_u=u)

    def make_points(self, facts, events, camera):
        rng = self.rng
        seen = set()
        for row in events:
            key = (row["time_s"], row["hand"])
            if row["clock"] != "video" or key in seen or rng.random() < 0.7:
                continue
            seen.add(key)
            for part in ("hand", "shoulder"):
                self.tables["points.csv"].add(
                    trial=facts["code"], camera=self.camera_cell(camera), time_s=row["time_s"],
                    point="%s_%s" % (row["hand"], part), x_px=round(float(rng.uniform(0, 1920)), 1),
                    y_px=round(float(rng.uniform(0, 1080)), 1),
                    u_px=1.5 if rng.random() < 0.5 else None,
                    how=str(rng.choice(["placed", "followed"])), rater=row["rater"])
