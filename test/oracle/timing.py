"""What marks alone give: velocity, cycle, coordination, high-hand time, phases."""
import math

import numpy as np
from reading import HANDS
from strokes import mean, root_sum


def section_and_speed(out, flags, trial, section, protocol, cycle):
    places = protocol["section_from_wall_m"]
    length = abs(places[0] - places[1])
    out["section_m"] = length
    out["section_time_s"] = out["velocity_m_s"] = out["velocity_m_s_u"] = None
    section_u, timing_u = protocol.get("section_u_m"), trial["timing_u"]
    points = protocol.get("section_points") or {}
    named = {
        "no_section_u": section_u is None,
        "no_timing_u": timing_u is None,
        "mixed_section_points": points.get("start") != points.get("end"),
    }
    for flag, there in named.items():
        # CHOICE: without a velocity, what is wrong with it may go unsaid.
        if there:
            (flags.must if section else flags.may).add(flag)
    if not section:
        return
    span = trial["end"] - trial["start"]
    speed = length / span
    out["section_time_s"], out["velocity_m_s"] = span, speed
    if section_u is not None and timing_u is not None:
        variation, varied = protocol.get("speed_variation_pct"), 0.0
        if variation is not None and cycle is not None:
            varied = variation / 100 * cycle / 2 / (2 * math.pi * span)
        out["velocity_m_s_u"] = speed * math.sqrt(
            (section_u / length) ** 2 + 2 * (timing_u / span) ** 2 + varied**2
        )


def cycle_time(kept, inside_section):
    """T and u(T); excluded strokes serve too, a missing number breaks the run."""
    intervals, run_ends = [], []
    for hand in HANDS:
        starts = {
            s.number: s
            for s in kept
            if s.hand == hand and inside_section(s.at("propulsion_start"))
        }
        run = []
        for number in sorted(starts) + [None]:
            if run and number != run[-1] + 1:
                if len(run) > 1:
                    run_ends += [starts[run[0]], starts[run[-1]]]
                run = []
            if number is not None:
                if run:
                    intervals.append(
                        starts[number].at("propulsion_start")
                        - starts[run[-1]].at("propulsion_start")
                    )
                run.append(number)
    if not intervals:
        return None, None
    spread = root_sum(stroke.u("propulsion_start") for stroke in run_ends)
    return float(np.mean(intervals)), None if spread is None else spread / len(intervals)


class Shared:
    """The variance that a difference of marks of two events shares with its like in the trial."""

    def __init__(self, kept, line_variance):
        self.line_variance = line_variance  # of a film mark; None where not known
        self.of_event = {}
        for stroke in kept:
            for event, mark in stroke.marks.items():
                self.of_event[event] = max(self.of_event.get(event, 0.0), mark.shared_u or 0.0)

    def variance(self, first, first_event, second, second_event):
        a, b = first.marks[first_event], second.marks[second_event]
        out = self.of_event[first_event] ** 2 + self.of_event[second_event] ** 2
        if a.clock != b.clock:
            line = self.line_variance(a if a.clock == "video" else b)
            return None if line is None else out + line
        return out


def partner_of(stroke, kept, cycle):
    """The stroke whose propulsion this one follows, or None."""
    s = stroke.at("propulsion_start")
    starts = [(k, k.at("propulsion_start")) for k in kept]
    starts = [(k, time) for k, time in starts if time is not None]
    before = [(k, time) for k, time in starts if k.hand != stroke.hand and time < s]
    if not before:
        return None
    partner, p = max(before, key=lambda item: item[1])
    if partner.at("propulsion_end") is None or p < s - cycle:
        return None
    if any(k.hand == stroke.hand and p < time < s for k, time in starts):
        return None
    return partner


def coordination(out, kept, counting, cycle, cycle_u, shared):
    partners = {}
    for stroke in kept:
        stroke.out["idc_pct"] = None
        s = stroke.at("propulsion_start")
        if s is None or cycle is None:
            stroke.may.add("no_partner")
            continue
        partner = partner_of(stroke, kept, cycle)
        if partner is None:
            stroke.must.add("no_partner")
            continue
        stroke.out["idc_pct"] = 100 * (partner.at("propulsion_end") - s) / cycle
        partners[id(stroke)] = partner
    sides, spread, common = {}, [], []
    for hand in HANDS:
        mine = [s for s in counting if s.hand == hand and s.out["idc_pct"] is not None]
        sides[hand] = mean(s.out["idc_pct"] for s in mine)
        for stroke in mine:
            partner = partners[id(stroke)]
            for u in (partner.u("propulsion_end"), stroke.u("propulsion_start")):
                spread.append(None if u is None else u / len(mine))
            common.append(shared.variance(partner, "propulsion_end", stroke, "propulsion_start"))
    out["idc_left_pct"], out["idc_right_pct"] = sides["left"], sides["right"]
    out["idc_pct"] = out["idc_pct_u"] = None
    if sides["left"] is None or sides["right"] is None:
        return
    idc = (sides["left"] + sides["right"]) / 2
    out["idc_pct"] = idc
    if cycle_u is not None and None not in spread and None not in common:
        # CHOICE: the mean of u_sh2 is over the strokes of both hands together.
        out["idc_pct_u"] = math.sqrt(
            (100 / cycle) ** 2 * (0.25 * sum(u * u for u in spread) + float(np.mean(common)))
            + (idc * cycle_u / cycle) ** 2
        )


def high_hand(out, kept, counting, shared):
    parts = {}
    for stroke in kept:
        value = u = None
        if stroke.entry_position == "below":
            # Whether or not its marks are there.
            value = 0.0
        else:
            deep, full = stroke.at("hand_below_shoulder"), stroke.at("full_reach")
            if deep is not None and full is not None:
                value = deep - full
                both = root_sum([stroke.u("hand_below_shoulder"), stroke.u("full_reach")])
                common = shared.variance(stroke, "full_reach", stroke, "hand_below_shoulder")
                if both is not None and common is not None:
                    u = math.sqrt(both**2 + common)
                    parts[id(stroke)] = (both**2, common)
        stroke.out["high_hand_s"], stroke.out["high_hand_s_u"] = value, u
    having = [s for s in counting if s.out["high_hand_s"] is not None]
    out["high_hand_s"] = mean(s.out["high_hand_s"] for s in having)
    out["high_hand_s_u"] = None
    mine = [parts[id(s)] for s in having if id(s) in parts]
    if mine:
        n, m = len(having), len(mine)
        out["high_hand_s_u"] = math.sqrt(
            sum(part[0] for part in mine) / n**2
            + (m / n) ** 2 * float(np.mean([part[1] for part in mine]))
        )


def positions(out, counting):
    """Most frequent among the strokes that count and were judged; how many were measured or judged."""
    found = [s.entry_position for s in counting if s.entry_position not in ("", "undecided")]
    out["entry_position"] = ""
    if found:
        tally = {p: found.count(p) for p in found}
        top = [p for p, n in tally.items() if n == max(tally.values())]
        out["entry_position"] = top[0] if len(top) == 1 else "mixed"
    measured = [s for s in counting if s.entry_height_cm is not None]
    out["strokes_measured"] = len(measured)
    out["strokes_judged"] = sum(
        s.entry_height_cm is None and s.entry_position not in ("", "undecided") for s in counting
    )


def phases(stroke, by_key):
    following = by_key.get((stroke.hand, stroke.number + 1))
    entry = stroke.at("water_entry")
    after = following.at("water_entry") if following else None
    marks = [
        entry,
        stroke.at("propulsion_start"),
        stroke.at("shoulder_plane"),
        stroke.at("propulsion_end"),
        after,
    ]
    whole = after - entry if entry is not None and after is not None else None
    names = ("entry_catch_pct", "pull_pct", "push_pct", "recovery_pct")
    for name, a, b in zip(names, marks, marks[1:]):
        # CHOICE: a missing mark empties only the shares that need it.
        can = whole is not None and a is not None and b is not None
        stroke.out[name] = 100 * (b - a) / whole if can else None
