"""Writing tables in the dialects the contract allows, with the line of every broken row."""
import os

COLUMNS = {
    "roster.csv": "participant,sex,birth_year,height_cm,mass_kg,left_hand_area_cm2,"
    "right_hand_area_cm2,hand_area_u_cm2,left_hand_area_u_cm2,right_hand_area_u_cm2,"
    "left_hand_area_method,right_hand_area_method,film_consent,film_sharing_consent,consent,note",
    "calibration.csv": "sensor,step,direction,applied,applied_unit,raw,reference_scale_u_pct,"
    "reference_zero_u",
    "zeros.csv": "sensor,trial,when,raw",
    "checks.csv": "sensor,when,applied,applied_unit,raw",
    "trials.csv": "trial,participant,attempt,condition,trace,video,left_sensor,right_sensor,"
    "left_column,right_column,"
    "section_start_s,section_end_s,timing_method,timing_u_s,status,exclusion_reason",
    "sync.csv": "trial,camera,trace_s,video_s,what",
    "events.csv": "trial,hand,stroke,event,time_s,clock,camera,rater,time_u_s,time_u_shared_s",
    "strokes.csv": "trial,hand,stroke,entry_position,breath,exclusion_reason,rater,"
    "entry_height_cm,entry_height_cm_u",
    "points.csv": "trial,camera,time_s,point,x_px,y_px,u_px,how,rater",
}
OPTIONAL = {
    "sex", "birth_year", "height_cm", "mass_kg", "note", "video", "left_sensor", "right_sensor",
    "left_column", "right_column", "condition", "what", "rater", "breath", "attempt",
    "timing_method", "camera", "time_u_s", "time_u_shared_s", "entry_height_cm",
    "entry_height_cm_u", "reference_scale_u_pct", "reference_zero_u", "left_hand_area_u_cm2",
    "right_hand_area_u_cm2", "left_hand_area_method", "right_hand_area_method", "film_consent",
    "film_sharing_consent", "timing_u_s", "exclusion_reason", "entry_position", "u_px",
}
NUMBERS = ("_s", "_cm", "_cm2", "_kg", "_u", "_pct", "_px", "_year")


class Raw(str):
    """A cell to be written as it is."""


class Dialect:
    def __init__(self, rng, plain=False):
        self.separator = "," if plain else str(rng.choice([",", ";", "\t"], p=[0.5, 0.3, 0.2]))
        self.decimal_comma = self.separator != "," and rng.random() < 0.6
        self.bom = rng.random() < 0.25
        self.end = "\r\n" if rng.random() < 0.35 else "\n"
        self.comments = int(rng.choice([0, 0, 1, 3]))
        self.quote_all = rng.random() < 0.1
        self.guards = rng.random() < 0.5
        self.missing = str(rng.choice(["", "NaN", "-"], p=[0.8, 0.1, 0.1]))
        self.blank_line_at_end = rng.random() < 0.2

    def number(self, value, digits=None):
        text = repr(float(value)) if digits is None else "%.*f" % (digits, value)
        return text.replace(".", ",") if self.decimal_comma else text

    def cell(self, value):
        if isinstance(value, Raw):
            return str(value)
        if isinstance(value, float):
            text = self.number(value)
        else:
            text = "" if value is None else str(value)
            if self.guards and isinstance(value, str) and text.startswith(("=", "+", "-", "@", "'")):
                text = "'" + text
        if self.quote_all or any(mark in text for mark in (self.separator, '"', "\n", "\r")):
            return '"' + text.replace('"', '""') + '"'
        return text

    def column_cell(self, column, value):
        """A cell of a table: a number that is not known may be printed as one of the words for it."""
        return self.missing if value is None and column.endswith(NUMBERS) else self.cell(value)

    def opening(self):
        return ["# invented test data, comment %d; with, marks\tof; all kinds" % k
                for k in range(self.comments)]

    def write(self, path, lines):
        """lines: list of strings, each one row (a quoted cell may hold line feeds)."""
        text = self.end.join(lines) + self.end
        if self.blank_line_at_end:
            text += self.end
        with open(path, "wb") as handle:
            handle.write((b"\xef\xbb\xbf" if self.bom else b"") + text.encode("utf-8"))


class Table:
    """Rows as dicts; a row may carry '_broken', what is wrong with it."""

    def __init__(self, name):
        self.name, self.columns, self.rows = name, COLUMNS[name].split(","), []

    def add(self, **values):
        self.rows.append(values)
        return values

    def write(self, folder, rng, broken):
        columns = list(self.columns)
        for column in self.columns:
            blank = all(row.get(column) in (None, "") for row in self.rows)
            if column in OPTIONAL and blank and rng.random() < 0.7:
                columns.remove(column)
        if rng.random() < 0.2:
            rng.shuffle(columns)
        dialect = Dialect(rng)
        lines = dialect.opening()
        lines.append(dialect.separator.join(dialect.cell(c) for c in columns))
        at = sum(line.count("\n") + 1 for line in lines)
        for row in self.rows:
            at += 1
            text = dialect.separator.join(dialect.column_cell(c, row.get(c)) for c in columns)
            if "_broken" in row:
                broken.append({"file": self.name, "line": at, "what": row["_broken"]})
            at += text.count("\n")
            lines.append(text)
        dialect.write(os.path.join(folder, self.name), lines)
