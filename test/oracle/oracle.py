#!/usr/bin/env python3
"""A second, independent reading of the data contract (formats.md).

    oracle.py DAY_FOLDER OUT_JSON [DAY_FOLDER OUT_JSON ...]

Reads a day folder by the contract's text alone and writes what sections 2 and 3
say should come out, as JSON, for compare.py to hold against the program's CSVs.
It shares no code with the program and was written without looking at it.

Where the contract leaves a choice, the comment beside it starts with CHOICE.

Sources: Butterworth cutoff correction for two passes, Winter, Biomechanics and
Motor Control of Human Movement (the correction on the tangent); density of water,
Tanaka et al. 2001, Metrologia 38:301; normal gravity, GRS80 (Moritz 2000);
uncertainties, JCGM 100:2008. Filtering itself is SciPy's.
"""
import json
import math
import os
import sys

from check import clock_flags, judge, sensor_flags
from clocks import frame_interval
from day_tables import Day
from forces import forces
from reading import HANDS, Broken, inside
from sensors import calibration_rows
from strokes import EVENTS, keep_in_order
from timing import Shared, coordination, cycle_time, high_hand, phases, positions, section_and_speed
from traces import read_trace


TABLES = ("roster.csv", "calibration.csv", "zeros.csv", "checks.csv", "trials.csv", "sync.csv",
          "events.csv", "strokes.csv")


class Flags:
    """`must`: flags the contract asks for; `may`: flags it leaves open here."""

    def __init__(self):
        self.must, self.may = set(), set()

    def cell(self):
        return {"must": sorted(self.must), "may": sorted(self.may - self.must)}


def load_trace(day, trial):
    name = trial["trace"]
    if not name:
        return None
    told = [("trials.csv", trial["line"]), (name, None)]
    try:
        path = inside(day.folder, name)
    except Broken as error:
        day.refused.group(told, str(error))
        return None
    if not os.path.isfile(path):
        day.refused.group(told, "no such file")
        return None
    if not day.columns.get("time"):
        return None
    try:
        trace = read_trace(path, name, trial["columns"], day.refused)
        day.traces_read.add(name)
        return trace
    except Broken as error:
        day.refused.group(told + [(name, 1)], str(error))
        with open(path, "rb") as handle:
            # Of a file that is no trace a program may or may not tell the lines that are none.
            for line, _ in enumerate(handle, 1):
                day.refused.allowed(name, line)
        return None


class Placing:
    """Brings the marks of one trial to its clock."""

    def __init__(self, day, code, trial, trace):
        self.day, self.code, self.trial, self.trace = day, code, trial, trace
        self.marking_u = day.protocol.get("marking_u_s") or 0

    def sync(self, camera):
        found = self.day.syncs.get((self.code, camera))
        # CHOICE: a clock that stands still or runs backward is a contradiction, not a line.
        return found if found and found.rate > 0 else None

    def interval(self, camera):
        file = self.trial["video"] if camera == "A" else ""
        file = file or self.day.videos.get((self.code, camera))
        return frame_interval(self.day.folder, file, self.day.cameras.get(camera))

    def place(self, mark):
        a, own = self.sync("A"), self.sync(mark.camera)
        if mark.clock == "trace":
            reading = 1 / (self.trace.fs * math.sqrt(12)) if self.trace else None
            # CHOICE: without a trace, a mark on the lost trace's clock goes to camera A's by its pairs.
            mark.time = mark.raw_time if self.trace else a and a.to_video(mark.raw_time)
        else:
            d = self.interval(mark.camera)
            reading = d / math.sqrt(12) if d else None
            if self.trace:
                mark.time = own and own.to_trace(mark.raw_time)
            elif mark.camera == "A":
                mark.time = mark.raw_time
            else:
                mark.time = own and a and a.to_video(own.to_trace(mark.raw_time))
        if mark.time is not None:
            mark.time = float(mark.time)
        if mark.own_u is not None:
            mark.u = mark.own_u
        elif reading is not None:
            mark.u = math.hypot(reading, self.marking_u)

    def line_variance(self, mark):
        own, d = self.sync(mark.camera), self.interval(mark.camera)
        if not own or not d or not self.trace:
            return None
        return own.line_variance(mark.raw_time, d, 1 / self.trace.fs)


def marked_strokes(day, code, placing):
    """The strokes of the reported rater that keep the order rules, and who that is."""
    kept, reported = [], ""
    for at, (rater, strokes) in enumerate(day.events.get(code, {}).items()):
        for stroke in strokes.values():
            for mark in stroke.marks.values():
                placing.place(mark)
        good, bad = keep_in_order(strokes.values())
        for stroke in bad:
            for line in stroke.lines():
                day.refused.row("events.csv", line, "a stroke out of order")
        if at == 0:
            kept, reported = good, rater
    judged = next(iter(day.judgements.get(code, {}).values()), {})
    for stroke in kept:
        for name, value in judged.get((stroke.hand, stroke.number), {}).items():
            setattr(stroke, name, value)
    kept.sort(key=lambda s: (HANDS.index(s.hand), s.number))
    return kept, reported


def basis(kept):
    # CHOICE: over every kept stroke of the reported rater, counting or not, placed or not.
    clocks = {
        stroke.marks[event].clock
        for stroke in kept
        for event in ("propulsion_start", "propulsion_end")
        if event in stroke.marks
    }
    if len(clocks) == 2:
        return "mixed"
    return {"trace": "force", "video": "video"}.get(next(iter(clocks), ""), "")


def process(day, code):
    trial, flags = day.trials[code], Flags()
    person = day.people[trial["participant"]]
    trace = load_trace(day, trial)
    placing = Placing(day, code, trial, trace)
    kept, reported = marked_strokes(day, code, placing)
    start, end = trial["start"], trial["end"]
    # CHOICE: one section time alone, or an end not after the start, is no section.
    section = start is not None and end is not None and end > start
    if start is not None and end is not None and not section:
        day.refused.allowed("trials.csv", trial["line"])

    def inside_section(time):
        return section and time is not None and start <= time <= end

    for stroke in kept:
        both = [inside_section(stroke.at(event)) for event in ("propulsion_start", "propulsion_end")]
        stroke.inside = all(both)
        stroke.counts = stroke.inside and not stroke.exclusion_reason
    counting = [stroke for stroke in kept if stroke.counts]

    out = {name: trial[name] for name in
           ("participant", "attempt", "condition", "status", "exclusion_reason")}
    out["trial"] = code
    cycle, cycle_u = cycle_time(kept, inside_section)
    section_and_speed(out, flags, trial, section, day.protocol, cycle)
    out["cycle_time_s"], out["cycle_time_s_u"] = cycle, cycle_u
    out["stroke_rate_cpm"] = 60 / cycle if cycle else None
    speed = out["velocity_m_s"]
    out["stroke_length_m"] = speed * cycle if speed is not None and cycle else None
    shared = Shared(kept, placing.line_variance)
    coordination(out, kept, counting, cycle, cycle_u, shared)
    high_hand(out, kept, counting, shared)
    positions(out, counting)
    by_key = {(stroke.hand, stroke.number): stroke for stroke in kept}
    for stroke in kept:
        phases(stroke, by_key)
    forces(day, out, flags, code, trial, trace, person, kept, counting)

    sync = day.syncs.get((code, "A"))
    # CHOICE: reported from its pairs alone, also where the trial's trace is lost.
    for name in ("offset", "rate", "residual"):
        out["sync_%s_s" % name if name != "rate" else "sync_rate"] = getattr(sync, name, None)
    # CHOICE: of the trial = the strokes that count.
    for hand in HANDS:
        out["strokes_" + hand] = sum(s.hand == hand for s in counting)
    # CHOICE: where all of the reported rater's strokes are refused, either answer to who it is will do.
    out["propulsion_basis"] = basis(kept)
    out["rater"] = reported if kept else {"any": [reported, ""]}
    if trace is None:
        flags.must.add("no_trace")
    elif trace.resampled:
        flags.must.add("resampled")
    if day.protocol.get("marking_u_s") is None:
        flags.must.add("marking_not_stated")
    clock_flags(day, code, flags, trace, placing.interval)
    sensor_flags(day, trial, flags)
    out["check"] = {"any": judge(day, trial, trace, section, out, kept, flags)}
    flags.may |= {"gap", "outside_trace", "no_partner"}  # of strokes; of trials nothing is said
    out["flags"] = flags.cell()
    return out, {"%s|%s|%d" % (code, s.hand, s.number): stroke_row(code, trial, s) for s in kept}


def stroke_row(code, trial, stroke):
    row = dict(
        trial=code,
        participant=trial["participant"],
        hand=stroke.hand,
        stroke=stroke.number,
        in_section=bool(stroke.inside),
    )
    for name in ("entry_position", "breath", "exclusion_reason", "entry_height_cm",
                 "entry_height_cm_u"):
        row[name] = getattr(stroke, name)
    for event in EVENTS:
        row[event + "_s"] = stroke.at(event)
    row.update(stroke.out)
    row["flags"] = {"must": sorted(stroke.must), "may": sorted(stroke.may - stroke.must),
                    "of": ["no_partner", "gap", "outside_trace", "beyond_calibration"]}
    return row


def used_files(day):
    """What a reading of the day cannot do without: its tables, and every trace that could be read."""
    names = ["day.json"] + [name for name in TABLES if os.path.exists(os.path.join(day.folder, name))]
    return names + sorted(day.traces_read)


def read_day(folder):
    day = Day(folder)
    trials, strokes = {}, {}
    for code in day.trials:
        trials[code], mine = process(day, code)
        strokes.update(mine)
    refused = day.refused
    return {
        "participants": {code: person["row"] for code, person in day.people.items()},
        "calibrations": calibration_rows(day),
        "trials": trials,
        "strokes": strokes,
        "refused": refused.must,
        "refused_any_of": refused.any_of,
        "refused_may": refused.may,
        "refused_with": refused.caused,
        "withheld": sorted(day.withheld_people),
        "withheld_files": sorted(day.withheld_files),
        "folder": os.path.abspath(folder),
        "day": day.spec["day"],
        "files": used_files(day),
    }


def main(arguments):
    if not arguments or len(arguments) % 2:
        print(__doc__.strip().splitlines()[2].strip(), file=sys.stderr)
        return 2
    for folder, path in zip(arguments[::2], arguments[1::2]):
        with open(path, "w", encoding="utf-8") as handle:
            json.dump(read_day(folder), handle, indent=1, allow_nan=False)
            handle.write("\n")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
