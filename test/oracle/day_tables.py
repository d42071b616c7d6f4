"""The tables of a day folder, with every row that breaks a rule refused."""
import json
import os

from physics import applied_kpa, calibrate
from reading import HANDS, Broken, Refused, read_table
from strokes import EVENTS, Mark, Stroke
from traces import Sync


class Day:
    def __init__(self, folder):
        self.folder = folder
        self.refused = Refused()
        with open(os.path.join(folder, "day.json"), encoding="utf-8-sig") as handle:
            self.spec = json.load(handle)
        self.protocol = self.spec["protocol"]
        self.pool = self.spec.get("pool", {})
        self.sensors = {sensor["sensor"]: sensor for sensor in self.spec.get("sensors", [])}
        self.cameras = {camera["camera"]: camera for camera in self.spec.get("cameras", [])}
        self.columns = self.spec.get("trace_columns", {})
        self.read_roster()
        self.read_calibration()
        self.read_trials()
        self.read_zeros()
        self.read_sync()
        self.videos = {}
        for row in self.rows("videos.csv", ("trial", "camera", "file")):
            if self.belongs("videos.csv", row):
                self.videos.setdefault((row.text("trial"), row.text("camera")), row.text("file"))
        self.read_events()
        self.read_judgements()

    def rows(self, name, needed):
        return read_table(self.folder, name, needed, self.refused)

    def each(self, name, needed, take):
        """Runs take(row) -> key over a table; refuses what breaks a rule or repeats a key."""
        seen = set()
        for row in self.rows(name, needed):
            try:
                key, keep = take(row)
                if key in seen:
                    raise Broken("said before")
            except Broken as error:
                self.refused.row(name, row.line, str(error))
                continue
            if key is not None:
                seen.add(key)
            keep()

    def belongs(self, name, row):
        """True: a row of a trial to process. A withheld trial's rows are passed over in silence
        and unexamined; a refused trial's rows are a consequence. Broken: no such trial."""
        trial = row.text("trial")
        if trial in self.trials:
            return True
        if trial in self.withheld_trials:
            return False
        if trial in self.refused_trials:
            self.refused.consequence(name, row.line)
            return False
        raise Broken("no such trial")

    def each_of_trial(self, name, needed, take):
        seen = set()
        for row in self.rows(name, needed):
            try:
                if not self.belongs(name, row):
                    continue
                key, keep = take(row)
                if key in seen:
                    raise Broken("said before")
            except Broken as error:
                self.refused.row(name, row.line, str(error))
                continue
            seen.add(key)
            keep()

    def read_roster(self):
        self.people, self.withheld_people = {}, set()

        def take(row):
            code = row.code("participant", needed=True)
            consent = row.one_of(
                "consent", ("given", "assent_and_guardian", "withdrawn", "missing"), "missing"
            )
            row.one_of("sex", ("female", "male", "unspecified"), "unspecified")
            row.number("birth_year")
            row.number("height_cm")
            row.number("mass_kg")
            person = {
                "left": row.number("left_hand_area_cm2"),
                "right": row.number("right_hand_area_cm2"),
                "u": row.number("hand_area_u_cm2"),
            }

            def keep():
                if consent in ("withdrawn", "missing"):
                    self.withheld_people.add(code)
                else:
                    self.people[code] = person

            return code, keep

        self.each("roster.csv", ("participant",), take)

    def read_calibration(self):
        points = {sensor: [] for sensor in self.sensors}

        def take(row):
            sensor = row.code("sensor", needed=True)
            if sensor not in self.sensors:
                raise Broken("no such sensor")
            direction = row.one_of("direction", ("up", "down"))
            applied = row.number("applied", needed=True)
            kpa = applied_kpa(applied, row.text("applied_unit"), self.pool)
            raw = row.number("raw", needed=True)
            # CHOICE: a step may be met once going up and once coming down, so both are its name.
            key = (sensor, row.text("step"), direction) if row.text("step") else None
            return key, lambda: points[sensor].append((kpa, direction, raw))

        self.each("calibration.csv", ("sensor", "direction", "applied", "applied_unit", "raw"), take)
        self.calibrations = {}
        for sensor, spec in self.sensors.items():
            fit = calibrate(points[sensor], spec.get("range_kpa"))
            self.calibrations[sensor] = dict(fit, sensor=sensor, hand=spec.get("hand", ""))
            if fit["sensitivity_raw_per_kpa"] is None:
                self.refused.consequence("calibration.csv", None)

    def read_trials(self):
        self.trials, self.withheld_trials, self.refused_trials = {}, set(), set()
        codes = set()
        for row in self.rows("trials.csv", ("trial", "participant")):
            if row.text("participant") in self.withheld_people:
                self.withheld_trials.add(row.text("trial"))
                continue
            try:
                trial = row.code("trial", needed=True)
                if trial in codes:
                    raise Broken("said before")
                participant = row.code("participant", needed=True)
                if participant not in self.people:
                    raise Broken("no such participant")
                row.whole("attempt", 1, needed=False)
                status = row.one_of("status", ("recorded", "accepted", "excluded"), "recorded")
                if status == "excluded" and not row.text("exclusion_reason"):
                    raise Broken("excluded without a reason")
                row.one_of("timing_method", ("video", "gate", "stopwatch"), "")
                entry = {
                    "line": row.line,
                    "participant": participant,
                    "attempt": row.text("attempt"),
                    "condition": row.code("condition"),
                    "status": status,
                    "exclusion_reason": row.text("exclusion_reason"),
                    "trace": row.text("trace"),
                    "video": row.text("video"),
                    "start": row.number("section_start_s"),
                    "end": row.number("section_end_s"),
                    "timing_u": row.number("timing_u_s", least=0),
                }
                for hand in HANDS:
                    sensor = row.code(hand + "_sensor")
                    if sensor and sensor not in self.sensors:
                        raise Broken("no such sensor")
                    entry[hand] = sensor or (self.columns.get(hand) or {}).get("sensor")
                entry["columns"] = {
                    "time": self.columns.get("time"),
                    **{hand: {"column": row.text(hand + "_column")} if row.text(hand + "_column")
                       else self.columns.get(hand) for hand in HANDS},
                }
            except Broken as error:
                self.refused.row("trials.csv", row.line, str(error))
                if row.text("trial") not in codes:
                    self.refused_trials.add(row.text("trial"))
                continue
            codes.add(trial)
            self.trials[trial] = entry

    def read_zeros(self):
        self.zeros = {}

        def take(row):
            sensor = row.code("sensor", needed=True)
            if sensor not in self.sensors:
                raise Broken("no such sensor")
            key = (sensor, row.text("trial"), row.one_of("when", ("before", "after")))
            raw = row.number("raw", needed=True)
            return key, lambda: self.zeros.__setitem__(key, raw)

        self.each_of_trial("zeros.csv", ("sensor", "trial", "when", "raw"), take)

    def read_sync(self):
        pairs = {}

        def take(row):
            # CHOICE: a blank camera is camera A, here and in events.csv.
            camera = row.code("camera") or "A"
            trace = row.number("trace_s", needed=True)
            video = row.number("video_s", needed=True, least=0)
            key = (row.text("trial"), camera)
            return key + (trace, video), lambda: pairs.setdefault(key, []).append((trace, video))

        self.each_of_trial("sync.csv", ("trial", "trace_s", "video_s"), take)
        self.syncs = {key: Sync(value) for key, value in pairs.items()}

    def read_events(self):
        self.events = {}  # trial -> rater -> {(hand, number): Stroke}; dicts keep the first rater first

        def take(row):
            hand = row.one_of("hand", HANDS)
            number = row.whole("stroke", 1)
            event = row.one_of("event", EVENTS)
            time = row.number("time_s", needed=True)
            clock = row.one_of("clock", ("trace", "video"))
            camera = row.code("camera") or "A"
            rater = row.code("rater")
            trial = row.text("trial")

            def keep():
                strokes = self.events.setdefault(trial, {}).setdefault(rater, {})
                stroke = strokes.setdefault((hand, number), Stroke(hand, number))
                stroke.marks[event] = Mark(row.line, clock, camera, time)

            return (trial, hand, number, event, rater), keep

        self.each_of_trial(
            "events.csv", ("trial", "hand", "stroke", "event", "time_s", "clock"), take
        )

    def read_judgements(self):
        self.judgements = {}

        def take(row):
            hand = row.one_of("hand", HANDS)
            number = row.whole("stroke", 1)
            position = row.one_of("entry_position", ("above", "level", "below"), "")
            breath = row.one_of("breath", ("none", "left", "right"), "")
            rater = row.code("rater")
            trial = row.text("trial")

            def keep():
                mine = self.judgements.setdefault(trial, {}).setdefault(rater, {})
                mine[(hand, number)] = (position, breath, row.text("exclusion_reason"))

            return (trial, hand, number, rater), keep

        self.each_of_trial("strokes.csv", ("trial", "hand", "stroke"), take)

    # ------------------------------------------------------------ one trial
