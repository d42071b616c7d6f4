"""What make_days.py breaks in a dirty day: one function per rule, one violation each.

A function changes the day in the making, marks the rows it broke with '_broken' (trace
rows with a sentence), and returns True where the day offered what it needs.
"""
import os

from dirt_trials import pick, rows_of, trial_row, visible


def spoil_cell(day, name, column, value, what):
    row = pick(day, rows_of(day, name) if "trial" in day.tables[name].columns
               else [r for r in day.tables[name].rows if not {"_broken", "_used"} & set(r)])
    if row is None:
        return False
    row[column], row["_broken"] = value, what
    return True


def repeat(day, name, what):
    row = pick(day, rows_of(day, name) if "trial" in day.tables[name].columns
               else [r for r in day.tables[name].rows if not {"_broken", "_used"} & set(r)])
    if row is None:
        return False
    day.tables[name].rows.append(dict(row, _broken=what))
    row["_used"] = True
    return True


def cell_rule(name, column, value, what):
    return lambda day: spoil_cell(day, name, column, value, what)


def repeat_rule(name):
    return lambda day: repeat(day, name, "said before")


# ---------------------------------------------------------------- events


def placed_marks(day):
    """{(trial, hand, stroke): {event: row}} of the reported rater where marks can be placed."""
    found = {}
    for facts in visible(day, lambda f: f["placed"] and len(day.raters) == 1):
        for row in facts["events"]:
            if "_broken" not in row and "_used" not in row:
                key = (row["trial"], row["hand"], row["stroke"])
                found.setdefault(key, {})[row["event"]] = row
    return found


def swapped_marks(day):
    pairs = [m for m in placed_marks(day).values()
             if {"propulsion_start", "propulsion_end"} <= set(m)
             and m["propulsion_start"]["clock"] == m["propulsion_end"]["clock"]]
    marks = pick(day, pairs)
    if marks is None:
        return False
    a, b = marks["propulsion_start"], marks["propulsion_end"]
    a["time_s"], b["time_s"] = b["time_s"], a["time_s"]
    for row in marks.values():
        row["_used"] = True
    a["_broken"] = b["_broken"] = "stroke out of order: propulsion ends before it starts"
    return True


def early_entry(day):
    found = placed_marks(day)
    choices = []
    for (trial, hand, stroke), marks in found.items():
        nxt = found.get((trial, hand, stroke + 1), {})
        if "water_exit" in marks and "water_entry" in nxt and (
            marks["water_exit"]["clock"] == nxt["water_entry"]["clock"]
        ):
            choices.append((marks["water_exit"], nxt["water_entry"], nxt))
    choice = pick(day, choices)
    if choice is None:
        return False
    out, entry, marks = choice
    entry["time_s"] = round(out["time_s"] - 0.02, 6)
    for row in marks.values():
        row["_used"] = True
    entry["_broken"] = "stroke out of order: enters before the one before has left the water"
    return True


def unknown_trial(name):
    def spoil(day):
        row = pick(day, rows_of(day, name))
        if row is None:
            return False
        day.tables[name].rows.append(dict(row, trial="T99", _broken="no such trial"))
        return True

    return spoil


# ---------------------------------------------------------------- trials and roster


def extra_trial(what, **changes):
    """A further trial row that breaks a rule; nothing else of the day hangs on it."""

    def spoil(day):
        model = pick(day, visible(day))
        if model is None:
            return False
        row = dict(trial_row(day, model["code"]), trial="T%d" % (50 + len(day.broken_rules)),
                   trace="", status="recorded", exclusion_reason="")
        row.update(changes, _broken=what)
        day.tables["trials.csv"].rows.append(row)
        return True

    return spoil


def trial_without_reason(day):
    """A trial with marks and a trace is refused whole, and its rows in other files with it."""
    facts = pick(day, visible(day, lambda f: "touched" not in f))
    if facts is None or len(visible(day)) < 3:
        return False
    facts["touched"] = True
    row = trial_row(day, facts["code"])
    row.update(status="excluded", exclusion_reason="", _broken="excluded without a reason")
    if row["trace"]:
        day.trace_files[row["trace"]].mess = []  # nobody reads it
    facts["withheld"] = True  # nothing else is to be broken in it
    return True


def lost_trace(changes):
    def spoil(day):
        facts = pick(day, visible(day, lambda f: f["has_trace"] and "touched" not in f
                                  and all(e["clock"] == "video" and e["camera"] in ("", "A")
                                          for e in f["events"])))
        if facts is None:
            facts = pick(day, visible(day, lambda f: f["has_trace"] and "touched" not in f))
            if facts is None:
                return False
            # Marks on a clock that is lost say nothing: leave them out.
            for name in ("events.csv", "strokes.csv"):
                table = day.tables[name]
                table.rows = [r for r in table.rows if r["trial"] != facts["code"]]
            facts["events"] = []
        facts["touched"] = True
        row = trial_row(day, facts["code"])
        file = row["trace"]
        what = changes(day, row, file)
        row["_broken"] = what
        facts["has_trace"] = False
        return True

    return spoil


def trace_gone(day, row, file):
    del day.trace_files[file]
    return "the trace is not there"


def trace_outside(day, row, file):
    # The file exists, one level up, and is a good trace: only the path is wrong.
    name = os.path.basename(day.folder) + ".outside.csv"
    trace = day.trace_files.pop(file)
    trace.name, trace.mess = "../" + name, []
    day.trace_files[trace.name] = trace
    row["trace"] = "../" + name
    return "the path leads out of the day folder"


def extra_person(what, **changes):
    def spoil(day):
        row = dict(participant="Z%d" % len(day.broken_rules), sex="female", consent="given")
        row.update(changes, _broken=what)
        day.tables["roster.csv"].rows.append(row)
        return True

    return spoil


def repeated_person(day):
    row = pick(day, [r for r in day.tables["roster.csv"].rows
                     if r["consent"] in ("given", "assent_and_guardian") and "_broken" not in r])
    if row is None:
        return False
    day.tables["roster.csv"].rows.append(dict(row, left_hand_area_cm2=99.0, _broken="said before"))
    return True


def person_refused(day):
    """A swimmer whose row breaks a rule: their trials, and the rows of these, go with it."""
    swum = {}
    for facts in visible(day, lambda f: "touched" not in f):
        swum.setdefault(facts["participant"], []).append(facts)
    rows = [r for r in day.tables["roster.csv"].rows if r["participant"] in swum
            and "_broken" not in r and len(swum[r["participant"]]) < len(visible(day))]
    rows = [r for r in rows if all("touched" not in f or f["withheld"]
                                   for f in day.trial_facts.values()
                                   if f["participant"] == r["participant"])]
    row = pick(day, rows)
    if row is None or day.broken_rules:
        return False
    row.update(height_cm="tall", _broken="not a number")
    for facts in day.trial_facts.values():
        if facts["participant"] == row["participant"]:
            facts["withheld"] = facts["touched"] = True
    return True


def repeated_twice(name):
    """Two neighbouring rows with one reason."""

    def spoil(day):
        if not repeat(day, name, "said before"):
            return False
        rows = day.tables[name].rows
        rows.append(dict(rows[-1]))
        return True

    return spoil


# ---------------------------------------------------------------- calibration


def unfittable(day):
    rows = day.tables["calibration.csv"].rows
    if any(r.get("_flat") for r in rows):
        return False
    sensor = day.sensors[-1]["code"]
    for row in rows:
        if row["sensor"] == sensor and "_broken" not in row:
            row["applied"], row["_flat"] = 1.5, True
    day.broken.append({"file": "calibration.csv", "line": None,
                       "what": "%s cannot be fitted: one pressure only" % sensor})
    return True
