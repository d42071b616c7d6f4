"""The rules that a dirty day breaks some of, by name; spoil() picks and breaks them."""
from dirt import (
    cell_rule, early_entry, extra_person, extra_trial, lost_trace, person_refused, repeat_rule,
    repeated_person, repeated_twice, swapped_marks, trace_gone, trace_outside, trial_without_reason,
    unfittable, unknown_trial,
)
from dirt_traces import TRACE_RULES

RULES = {
    **TRACE_RULES,
    "marks swapped": swapped_marks,
    "entry before exit": early_entry,
    "event unknown": cell_rule("events.csv", "event", "catch", "unknown event"),
    "event hand": cell_rule("events.csv", "hand", "middle", "unknown hand"),
    "event clock": cell_rule("events.csv", "clock", "wall", "unknown clock"),
    "event time": cell_rule("events.csv", "time_s", "3..4", "not a number"),
    "event time empty": cell_rule("events.csv", "time_s", None, "no time"),
    "event stroke 0": cell_rule("events.csv", "stroke", 0, "stroke below 1"),
    "event stroke half": cell_rule("events.csv", "stroke", 1.5, "stroke not whole"),
    "event own u": cell_rule("events.csv", "time_u_s", -0.01, "an uncertainty below 0"),
    "event shared u": cell_rule("events.csv", "time_u_shared_s", "2 ms", "not a number"),
    "event twice": repeat_rule("events.csv"),
    "event thrice": repeated_twice("events.csv"),
    "event trial": unknown_trial("events.csv"),
    "stroke position": cell_rule("strokes.csv", "entry_position", "deep", "unknown position"),
    "stroke number": cell_rule("strokes.csv", "stroke", "two", "not a number"),
    "stroke height": cell_rule("strokes.csv", "entry_height_cm", "high", "not a number"),
    "stroke height u": cell_rule("strokes.csv", "entry_height_cm_u", -2.0, "an uncertainty below 0"),
    "stroke breath": cell_rule("strokes.csv", "breath", "both", "unknown side"),
    "stroke twice": repeat_rule("strokes.csv"),
    "stroke trial": unknown_trial("strokes.csv"),
    "calibration number": cell_rule("calibration.csv", "raw", "1e999", "not finite"),
    "calibration unit": cell_rule("calibration.csv", "applied_unit", "bar", "unknown unit"),
    "calibration direction": cell_rule("calibration.csv", "direction", "sideways",
                                       "unknown direction"),
    "calibration sensor": cell_rule("calibration.csv", "sensor", "S-77", "no such sensor"),
    "calibration reference": cell_rule("calibration.csv", "reference_scale_u_pct", -0.1,
                                       "an uncertainty below 0"),
    "calibration zero u": cell_rule("calibration.csv", "reference_zero_u", "small", "not a number"),
    "check unit": cell_rule("checks.csv", "applied_unit", "atm", "unknown unit"),
    "check when": cell_rule("checks.csv", "when", "noon", "unknown moment"),
    "check raw": cell_rule("checks.csv", "raw", "", "no reading"),
    "check sensor": cell_rule("checks.csv", "sensor", "S-77", "no such sensor"),
    "point name": cell_rule("points.csv", "point", "left_knee", "unknown point"),
    "point how": cell_rule("points.csv", "how", "guessed", "unknown way"),
    "point place": cell_rule("points.csv", "x_px", "", "no place"),
    "point trial": unknown_trial("points.csv"),
    "calibration twice": repeat_rule("calibration.csv"),
    "calibration flat": unfittable,
    "zero when": cell_rule("zeros.csv", "when", "during", "unknown moment"),
    "zero raw": cell_rule("zeros.csv", "raw", "abc", "not a number"),
    "zero sensor": cell_rule("zeros.csv", "sensor", "S-77", "no such sensor"),
    "zero twice": repeat_rule("zeros.csv"),
    "zero trial": unknown_trial("zeros.csv"),
    "sync negative": cell_rule("sync.csv", "video_s", -0.5, "film time below 0"),
    "sync number": cell_rule("sync.csv", "trace_s", "12:30", "not a number"),
    "sync twice": repeat_rule("sync.csv"),
    "sync trial": unknown_trial("sync.csv"),
    "trial twice": repeat_rule("trials.csv"),
    "trial code": extra_trial("not a code", trial="T 9 bis"),
    "trial long code": extra_trial("code too long", trial="T" * 65),
    "trial person": extra_trial("no such participant", participant="nobody"),
    "trial status": extra_trial("unknown status", status="done"),
    "trial number": extra_trial("not a number", section_start_s="start"),
    "trial no reason": trial_without_reason,
    "trace gone": lost_trace(trace_gone),
    "trace outside": lost_trace(trace_outside),
    "person refused": person_refused,
    "person film": extra_person("unknown consent to film", film_consent="perhaps"),
    "person method": extra_person("unknown method", left_hand_area_method="guessed"),
    "person twice": repeated_person,
    "person sex": extra_person("unknown sex", sex="f"),
    "person consent": extra_person("unknown consent", consent="yes"),
    "person number": extra_person("not a number", height_cm="1m80"),
    "person code": extra_person("not a code", participant="two words"),
}


def spoil(day):
    day.broken_rules = []
    names = list(RULES)
    day.rng.shuffle(names)
    wanted = int(day.rng.integers(4, 9))
    for name in names:
        if len(day.broken_rules) == wanted:
            break
        if RULES[name](day):
            day.broken_rules.append(name)
