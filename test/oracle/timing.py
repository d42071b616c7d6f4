"""What marks alone give: velocity, cycle, coordination, high_hand, phases."""
import math

import numpy as np
from reading import HANDS
from strokes import mean, root_sum


def timing(out, trial, section, protocol):
    places = protocol["section_from_wall_m"]
    length = abs(places[0] - places[1])
    out["section_m"] = length
    out["section_time_s"] = out["velocity_m_s"] = out["velocity_m_s_u"] = None
    if not section:
        return
    span = trial["end"] - trial["start"]
    speed = length / span
    out["section_time_s"], out["velocity_m_s"] = span, speed
    section_u, timing_u = protocol.get("section_u_m"), trial["timing_u"]
    # CHOICE: a blank timing_u_s is unknown, not 0.
    if section_u is not None and timing_u is not None:
        out["velocity_m_s_u"] = speed * math.sqrt(
            (section_u / length) ** 2 + 2 * (timing_u / span) ** 2
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
        numbers = sorted(starts)
        run = []
        for number in numbers + [None]:
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


def coordination(out, kept, counting, cycle, cycle_u):
    partner_of = {}
    for stroke in kept:
        stroke.out["idc_pct"] = None
        s = stroke.at("propulsion_start")
        if s is None or cycle is None:
            continue
        own = [k.at("propulsion_start") for k in kept if k.hand == stroke.hand]
        own = [time for time in own if time is not None]
        before = [
            k
            for k in kept
            if k.hand != stroke.hand
            and k.at("propulsion_start") is not None
            and k.at("propulsion_start") < s
        ]
        if not before:
            continue
        partner = max(before, key=lambda k: k.at("propulsion_start"))
        p, e = partner.at("propulsion_start"), partner.at("propulsion_end")
        if e is None or any(p < time < s for time in own):
            continue
        if s == min(own) and p < s - cycle:
            continue
        stroke.out["idc_pct"] = 100 * (e - s) / cycle
        partner_of[id(stroke)] = partner
    sides, spread, known = {}, 0.0, True
    for hand in HANDS:
        mine = [s for s in counting if s.hand == hand and s.out["idc_pct"] is not None]
        sides[hand] = mean(s.out["idc_pct"] for s in mine)
        for stroke in mine:
            u_e = partner_of[id(stroke)].u("propulsion_end")
            u_s = stroke.u("propulsion_start")
            if u_e is None or u_s is None:
                known = False
            else:
                spread += (u_e**2 + u_s**2) / len(mine) ** 2
    out["idc_left_pct"], out["idc_right_pct"] = sides["left"], sides["right"]
    out["idc_pct"] = out["idc_pct_u"] = None
    if sides["left"] is not None and sides["right"] is not None:
        idc = (sides["left"] + sides["right"]) / 2
        out["idc_pct"] = idc
        if known and cycle_u is not None:
            out["idc_pct_u"] = math.sqrt(
                (100 / cycle) ** 2 * 0.25 * spread + (idc * cycle_u / cycle) ** 2
            )


def high_hand(out, kept, counting):
    for stroke in kept:
        value = u = None
        if stroke.entry_position == "below":
            # Whether or not its marks are there.
            value = 0.0
        else:
            deep = stroke.at("hand_below_shoulder")
            full = stroke.at("full_reach")
            if deep is not None and full is not None:
                value = deep - full
                u = root_sum([stroke.u("hand_below_shoulder"), stroke.u("full_reach")])
        stroke.out["high_hand_s"], stroke.out["high_hand_s_u"] = value, u
    out["high_hand_s"] = mean(s.out["high_hand_s"] for s in counting)
    # CHOICE: "over those that have one" is read as those that have an uncertainty, so a
    # stroke set to 0 is in the mean and in neither the sum nor the n of its uncertainty.
    us = [s.out["high_hand_s_u"] for s in counting]
    us = [u for u in us if u is not None]
    out["high_hand_s_u"] = root_sum(us) / len(us) if us else None
    # Most frequent among the strokes that count and were judged.
    positions = [s.entry_position for s in counting if s.entry_position]
    out["entry_position"] = ""
    if positions:
        tally = {p: positions.count(p) for p in positions}
        top = [p for p, n in tally.items() if n == max(tally.values())]
        out["entry_position"] = top[0] if len(top) == 1 else "mixed"


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
