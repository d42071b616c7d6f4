#!/usr/bin/env python3
"""A second, independent reading of the data contract (formats.md).

    oracle.py DAY_FOLDER OUT_JSON

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

from day_tables import Day
from forces import forces
from reading import HANDS, Broken, inside
from strokes import EVENTS, keep_in_order
from timing import coordination, cycle_time, high_hand, phases, timing
from traces import frame_interval, read_trace


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
        return read_trace(path, name, trial["columns"], day.refused)
    except Broken as error:
        day.refused.group(told + [(name, 1)], str(error))
        return None

def place(day, code, trial, mark, trace):
    """A mark's time on the trial's clock, and its standard uncertainty."""
    sync_a = day.syncs.get((code, "A"))
    own = day.syncs.get((code, mark.camera))
    if mark.clock == "trace":
        reading = 1 / (trace.fs * math.sqrt(12)) if trace else None
        # CHOICE: without a trace, a mark on the lost trace's clock goes to camera A's by its pairs.
        mark.time = mark.raw_time if trace else sync_a and sync_a.to_video(mark.raw_time)
    else:
        file = trial["video"] if mark.camera == "A" else day.videos.get((code, mark.camera))
        d = frame_interval(day.folder, file, day.cameras.get(mark.camera))
        # CHOICE: d is taken as it is on film, not multiplied by the fitted rate.
        reading = d / math.sqrt(12) if d else None
        if trace:
            mark.time = own and own.to_trace(mark.raw_time)
        elif mark.camera == "A":
            mark.time = mark.raw_time
        else:
            mark.time = own and sync_a and sync_a.to_video(own.to_trace(mark.raw_time))
    if mark.time is not None:
        mark.time = float(mark.time)
    if reading is not None:
        mark.u = math.hypot(reading, day.protocol.get("marking_u_s") or 0)


def process(day, code):
    trial = day.trials[code]
    person = day.people[trial["participant"]]
    trace = load_trace(day, trial)

    raters = list(day.events.get(code, {}).values())
    kept = []
    for at, strokes in enumerate(raters):
        for stroke in strokes.values():
            for mark in stroke.marks.values():
                place(day, code, trial, mark, trace)
        good, bad = keep_in_order(strokes.values())
        for stroke in bad:
            day.refused.group([("events.csv", line) for line in stroke.lines()], "out of order")
        if at == 0:
            kept = good
    judged = next(iter(day.judgements.get(code, {}).values()), {})
    for stroke in kept:
        judgement = judged.get((stroke.hand, stroke.number))
        if judgement:
            stroke.entry_position, stroke.breath, stroke.exclusion_reason = judgement
    kept.sort(key=lambda s: (HANDS.index(s.hand), s.number))
    by_key = {(stroke.hand, stroke.number): stroke for stroke in kept}

    start, end = trial["start"], trial["end"]
    # CHOICE: one section time alone, or an end not after the start, is no section.
    section = start is not None and end is not None and end > start

    def inside_section(time):
        return section and time is not None and start <= time <= end

    for stroke in kept:
        stroke.inside = inside_section(stroke.at("propulsion_start")) and inside_section(
            stroke.at("propulsion_end")
        )
        stroke.counts = stroke.inside and not stroke.exclusion_reason
    counting = [stroke for stroke in kept if stroke.counts]

    out = dict(
        trial=code,
        participant=trial["participant"],
        attempt=trial["attempt"],
        condition=trial["condition"],
        status=trial["status"],
        exclusion_reason=trial["exclusion_reason"],
    )
    timing(out, trial, section, day.protocol)
    cycle, cycle_u = cycle_time(kept, inside_section)
    out["cycle_time_s"], out["cycle_time_s_u"] = cycle, cycle_u
    out["stroke_rate_cpm"] = 60 / cycle if cycle else None
    speed = out["velocity_m_s"]
    out["stroke_length_m"] = speed * cycle if speed is not None and cycle else None
    coordination(out, kept, counting, cycle, cycle_u)
    high_hand(out, kept, counting)
    for stroke in kept:
        phases(stroke, by_key)
    forces(day, out, code, trial, trace, person, kept, counting)

    sync = day.syncs.get((code, "A"))
    # CHOICE: reported from its pairs alone, also where the trial's trace is lost.
    out["sync_offset_s"] = sync.offset if sync else None
    out["sync_rate"] = sync.rate if sync else None
    out["sync_residual_s"] = sync.residual if sync else None
    # CHOICE: of the trial = the strokes that count.
    out["strokes_left"] = sum(s.hand == "left" for s in counting)
    out["strokes_right"] = sum(s.hand == "right" for s in counting)
    # CHOICE: over every kept stroke of the reported rater, counting or not, placed or not.
    clocks = {
        stroke.marks[event].clock
        for stroke in kept
        for event in ("propulsion_start", "propulsion_end")
        if event in stroke.marks
    }
    out["propulsion_basis"] = (
        "mixed" if len(clocks) == 2 else {"trace": "force", "video": "video"}.get(
            next(iter(clocks), ""), ""
        )
    )
    strokes = {}
    for stroke in kept:
        row = dict(
            trial=code,
            participant=trial["participant"],
            hand=stroke.hand,
            stroke=stroke.number,
            in_section=bool(stroke.inside),
            entry_position=stroke.entry_position,
            breath=stroke.breath,
            exclusion_reason=stroke.exclusion_reason,
        )
        for event in EVENTS:
            row[event + "_s"] = stroke.at(event)
        row.update(stroke.out)
        strokes["%s|%s|%d" % (code, stroke.hand, stroke.number)] = row
    return out, strokes


def read_day(folder):
    day = Day(folder)
    trials, strokes = {}, {}
    for code in day.trials:
        trials[code], mine = process(day, code)
        strokes.update(mine)
    refused = day.refused
    return {
        "calibrations": day.calibrations,
        "trials": trials,
        "strokes": strokes,
        "refused": refused.must,
        "refused_any_of": refused.any_of,
        "refused_may": refused.may,
        "withheld": {"participants": len(day.withheld_people), "trials": len(day.withheld_trials)},
    }


def main(arguments):
    if len(arguments) != 2:
        print(__doc__.strip().splitlines()[2].strip(), file=sys.stderr)
        return 2
    result = read_day(arguments[0])
    with open(arguments[1], "w", encoding="utf-8") as handle:
        json.dump(result, handle, indent=1, allow_nan=False)
        handle.write("\n")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
