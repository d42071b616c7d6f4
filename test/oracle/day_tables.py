"""The tables of a day folder, with every row that breaks a rule refused."""
import json
import os

from clocks import Sync
from reading import HANDS, Broken, Refused, read_table
from sensors import read_calibration, read_checks, read_zeros
from strokes import EVENTS, FORMER_EVENTS, Mark, Stroke

METHODS = ("traced", "typed", "estimated")
FILM = ("given", "withheld", "not_asked")
POINTS = ("left_hand", "right_hand", "left_shoulder", "right_shoulder", "hip",
          "water_1", "water_2", "scale_1", "scale_2")
POSITIONS = ("above", "level", "below", "undecided")


class Day:
    def __init__(self, folder):
        self.folder = folder
        self.refused = Refused()
        with open(os.path.join(folder, "day.json"), encoding="utf-8-sig") as handle:
            self.spec = json.load(handle)
        self.protocol = self.spec["protocol"]
        self.accept = self.protocol.get("accept") or {}
        self.pool = self.spec.get("pool") or {}
        self.sensors = {sensor["sensor"]: sensor for sensor in self.spec.get("sensors") or []}
        self.cameras = {camera.get("camera") or "A": camera for camera in self.spec.get("cameras") or []}
        self.columns = self.spec.get("trace_columns") or {}
        self.read_roster()
        read_calibration(self)
        read_checks(self)
        self.read_trials()
        read_zeros(self)
        self.read_sync()
        self.read_videos()
        self.read_events()
        self.read_judgements()
        self.read_points()

    # ------------------------------------------------------------ rows

    def rows(self, name, needed):
        return read_table(self.folder, name, needed, self.refused)

    def each(self, name, needed, take, twice=None, belongs=None):
        """Runs take(row) -> key, keep over a table; refuses what breaks a rule or repeats a key."""
        seen = set()
        for row in self.rows(name, needed):
            try:
                if belongs and not belongs(name, row):
                    continue
                key, keep = take(row)
                if key in seen and twice:
                    twice(name, row.line)
                    continue
                if key in seen:
                    raise Broken("said before")
            except Broken as error:
                self.refused.row(name, row.line, str(error))
                continue
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
            self.refused.consequence(name, row.line, trial)
            return False
        raise Broken("no such trial")

    def each_of_trial(self, name, needed, take, blank=False):
        def belongs(file, row):
            return (blank and not row.text("trial")) or self.belongs(file, row)

        self.each(name, needed, take, belongs=belongs)

    def known_sensor(self, row):
        sensor = row.code("sensor", needed=True)
        if sensor not in self.sensors:
            raise Broken("no such sensor")
        return sensor

    # ------------------------------------------------------------ swimmers and trials

    def read_roster(self):
        self.people, self.withheld_people, self.refused_people = {}, set(), set()
        for row in self.rows("roster.csv", ("participant",)):
            code = row.text("participant")
            # CHOICE: any row of a swimmer that does not give consent decides, also one that breaks a rule.
            if row.text("consent") in ("", "withdrawn", "missing"):
                self.withheld_people.add(code)
        for row in self.rows("roster.csv", ("participant",)):
            code = row.text("participant")
            if code in self.withheld_people:
                # CHOICE: whether a bad row of theirs is listed is not said; their code never is.
                self.refused.allowed("roster.csv", row.line)
                continue
            try:
                if code in self.people or code in self.refused_people and code:
                    raise Broken("said before")
                self.people[row.code("participant", needed=True)] = self.person(row)
            except Broken as error:
                self.refused.row("roster.csv", row.line, str(error))
                if code not in self.people:
                    self.refused_people.add(code)

    def person(self, row):
        consent = row.one_of("consent", ("given", "assent_and_guardian"))
        out = {
            "participant": row.text("participant"),
            "sex": row.one_of("sex", ("female", "male", "unspecified"), ""),
            "birth_year": row.number("birth_year"),
            "height_cm": row.number("height_cm"),
            "mass_kg": row.number("mass_kg"),
            "left_hand_area_cm2": row.number("left_hand_area_cm2"),
            "right_hand_area_cm2": row.number("right_hand_area_cm2"),
            "hand_area_u_cm2": row.number("hand_area_u_cm2", least=0),
            "left_hand_area_u_cm2": row.number("left_hand_area_u_cm2", least=0),
            "right_hand_area_u_cm2": row.number("right_hand_area_u_cm2", least=0),
            "left_hand_area_method": row.one_of("left_hand_area_method", METHODS, ""),
            "right_hand_area_method": row.one_of("right_hand_area_method", METHODS, ""),
            "consent": consent,
            "film_consent": row.one_of("film_consent", FILM, ""),
            "film_sharing_consent": row.one_of("film_sharing_consent", FILM, ""),
        }
        person = {"row": out}
        for hand in HANDS:
            own = out[hand + "_hand_area_u_cm2"]
            person[hand] = out[hand + "_hand_area_cm2"]
            person[hand + "_u"] = out["hand_area_u_cm2"] if own is None else own
        return person

    def read_trials(self):
        self.trials, self.withheld_trials, self.refused_trials = {}, set(), set()
        self.withheld_files, self.traces_read = set(), set()
        for row in self.rows("trials.csv", ("trial", "participant")):
            code = row.text("trial")
            if row.text("participant") in self.withheld_people:
                self.withheld_trials.add(code)
                self.withheld_files |= {row.text("trace"), row.text("video")} - {""}
                continue
            if row.text("participant") in self.refused_people and code not in self.trials:
                self.refused_trials.add(code)
                self.refused.consequence("trials.csv", row.line, row.text("participant"))
                continue
            try:
                if code in self.trials:
                    raise Broken("said before")
                self.trials[row.code("trial", needed=True)] = self.trial(row)
            except Broken as error:
                self.refused.row("trials.csv", row.line, str(error))
                if code not in self.trials:
                    self.refused_trials.add(code)
        self.withheld_trials -= set(self.trials)

    def trial(self, row):
        participant = row.code("participant", needed=True)
        if participant not in self.people:
            raise Broken("no such participant")
        entry = {
            "line": row.line,
            "participant": participant,
            "attempt": row.whole("attempt", 1, needed=False),
            "condition": row.code("condition"),
            "status": row.one_of("status", ("recorded", "accepted", "excluded"), "recorded"),
            "exclusion_reason": row.text("exclusion_reason"),
            "trace": row.text("trace"),
            "video": row.text("video"),
            "start": row.number("section_start_s"),
            "end": row.number("section_end_s"),
            "timing_u": row.number("timing_u_s", least=0),
        }
        if entry["status"] == "excluded" and not entry["exclusion_reason"]:
            raise Broken("excluded without a reason")
        row.one_of("timing_method", ("video", "gate", "stopwatch"), "")
        entry["columns"] = {"time": self.columns.get("time")}
        for hand in HANDS:
            column = dict(self.columns.get(hand) or {})
            # CHOICE: a trial that names an unknown sensor stays, without that hand's force.
            entry[hand] = row.code(hand + "_sensor") or column.get("sensor")
            if row.text(hand + "_column"):
                column["column"] = row.text(hand + "_column")
            entry["columns"][hand] = column
        return entry

    # ------------------------------------------------------------ clocks and marks

    def read_sync(self):
        pairs = {}

        def take(row):
            camera = row.code("camera") or "A"
            trace = row.number("trace_s", needed=True)
            video = row.number("video_s", needed=True, least=0)
            key = (row.text("trial"), camera)
            return key + (trace, video), lambda: pairs.setdefault(key, []).append((trace, video))

        self.each_of_trial("sync.csv", ("trial", "trace_s", "video_s"), take)
        self.syncs = {key: Sync(value) for key, value in pairs.items()}

    def read_videos(self):
        self.videos = {}

        def take(row):
            key = (row.text("trial"), row.code("camera") or "A")
            file = row.text("file")
            return key, lambda: self.videos.__setitem__(key, file)

        self.each_of_trial("videos.csv", ("trial", "file"), take)

    def read_events(self):
        self.events = {}  # trial -> rater -> {(hand, number): Stroke}; dicts keep the first rater first

        def take(row):
            hand = row.one_of("hand", HANDS)
            number = row.whole("stroke", 1)
            event = FORMER_EVENTS.get(row.text("event")) or row.one_of("event", EVENTS)
            mark = Mark(row.line, row.one_of("clock", ("trace", "video")), row.code("camera") or "A",
                        row.number("time_s", needed=True), row.number("time_u_s", least=0),
                        row.number("time_u_shared_s", least=0))
            rater, trial = row.code("rater"), row.text("trial")

            def keep():
                strokes = self.events.setdefault(trial, {}).setdefault(rater, {})
                strokes.setdefault((hand, number), Stroke(hand, number)).marks[event] = mark

            return (trial, hand, number, event, rater), keep

        self.each_of_trial(
            "events.csv", ("trial", "hand", "stroke", "event", "time_s", "clock"), take
        )

    def read_judgements(self):
        self.judgements = {}

        def take(row):
            hand = row.one_of("hand", HANDS)
            number = row.whole("stroke", 1)
            judgement = {
                "entry_position": row.one_of("entry_position", POSITIONS, ""),
                "breath": row.one_of("breath", ("none", "left", "right"), ""),
                "exclusion_reason": row.text("exclusion_reason"),
                "entry_height_cm": row.number("entry_height_cm"),
                "entry_height_cm_u": row.number("entry_height_cm_u", least=0),
            }
            rater, trial = row.code("rater"), row.text("trial")

            def keep():
                mine = self.judgements.setdefault(trial, {}).setdefault(rater, {})
                mine[(hand, number)] = judgement

            return (trial, hand, number, rater), keep

        self.each_of_trial("strokes.csv", ("trial", "hand", "stroke"), take)

    def read_points(self):
        """The points change no number; only what is refused of them shows."""

        def take(row):
            time = row.number("time_s", needed=True, least=0)
            point = row.one_of("point", POINTS)
            for name in ("x_px", "y_px"):
                row.number(name, needed=True)
            row.number("u_px", least=0)
            row.one_of("how", ("placed", "followed"), "")
            camera = row.code("camera") or "A"
            return (row.text("trial"), camera, time, point, row.code("rater")), lambda: None

        self.each_of_trial("points.csv", ("trial", "time_s", "point", "x_px", "y_px"), take)
