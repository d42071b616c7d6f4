#!/usr/bin/env python3
"""Holds the program's datasets against the oracle's readings of the same days.

    compare.py [--without pending.json] OUT_DATASET ORACLE_JSON [OUT_DATASET ORACLE_JSON ...]

Numbers agree to 1e-6 relative (1e-9 absolute near 0), text and emptiness exactly, flags as
sets (those that the contract names), columns in the contract's order. What must be refused is
refused and nothing else is. Prints every difference; the last line is `N compared, N different`;
exit status 1 where something differs. `--without` names columns that are not compared yet.
"""
import csv
import json
import os
import sys

from package import compare_package
from reading import guarded
from refusals import compare_refused, read

RELATIVE, ABSOLUTE = 1e-6, 1e-9
KEYS = {
    "participants": ("participant",),
    "calibrations": ("sensor",),
    "trials": ("trial",),
    "strokes": ("trial", "hand", "stroke"),
}
COLUMNS = {
    "participants": "participant,sex,birth_year,height_cm,mass_kg,left_hand_area_cm2,right_hand_area_cm2,"
    "hand_area_u_cm2,left_hand_area_u_cm2,right_hand_area_u_cm2,left_hand_area_method,"
    "right_hand_area_method,consent,film_consent,film_sharing_consent",
    "calibrations": "sensor,hand,intercept_raw,sensitivity_raw_per_kpa,sensitivity_u,residual_sd_kpa,"
    "nonlinearity_pct_fs,hysteresis_pct_fs,check_start_kpa,check_end_kpa,verdict",
    "trials": "trial,participant,attempt,condition,status,exclusion_reason,check,check_reason,section_m,"
    "section_time_s,velocity_m_s,velocity_m_s_u,cycle_time_s,cycle_time_s_u,stroke_rate_cpm,"
    "stroke_length_m,idc_pct,idc_pct_u,idc_left_pct,idc_right_pct,high_hand_s,high_hand_s_u,"
    "entry_position,peak_force_left_n,peak_force_left_n_u,peak_force_right_n,peak_force_right_n_u,"
    "mean_force_left_n,mean_force_left_n_u,mean_force_right_n,mean_force_right_n_u,impulse_left_ns,"
    "impulse_left_ns_u,impulse_right_ns,impulse_right_ns_u,force_symmetry_pct,force_symmetry_pct_u,"
    "sync_offset_s,sync_rate,sync_residual_s,zero_shift_left_kpa,zero_shift_right_kpa,strokes_left,"
    "strokes_right,strokes_measured,strokes_judged,propulsion_basis,rater,left_sensor,right_sensor,flags",
    "strokes": "trial,participant,hand,stroke,in_section,entry_position,entry_height_cm,entry_height_cm_u,"
    "breath,exclusion_reason,water_entry_s,full_reach_s,hand_below_shoulder_s,propulsion_start_s,"
    "shoulder_plane_s,propulsion_end_s,water_exit_s,idc_pct,high_hand_s,high_hand_s_u,entry_catch_pct,"
    "pull_pct,push_pct,recovery_pct,peak_force_n,peak_force_n_u,mean_force_n,mean_force_n_u,impulse_ns,"
    "impulse_ns_u,flags",
}
NAMED_FLAGS = {
    "mixed_section_points", "marking_not_stated", "no_section_u", "no_timing_u",
    "calibrated_elsewhere", "zero_from_day", "zero_from_calibration", "sensor_check_failed",
    "no_trace", "resampled", "clock_doubtful", "clock_unchecked", "no_partner", "gap",
    "outside_trace", "beyond_calibration", "no_zero_shift",
}


class Tally:
    def __init__(self, without=()):
        self.compared = self.different = 0
        self.without, self.unused, self.name = set(without), set(without), ""

    def waits(self, what):
        return what in self.without

    def check(self, same, where, program, oracle, waits=""):
        if waits and self.waits(waits):
            if not same:
                self.unused.discard(waits)
            return
        self.compared += 1
        if not same:
            self.different += 1
            print("%s %s: program %s, oracle %s" % (self.name, where, program, oracle))


def agrees(cell, value):
    if value is None:
        return cell == ""
    if isinstance(value, dict):
        return any(agrees(cell, one) for one in value["any"])
    if isinstance(value, bool):
        return cell == ("true" if value else "false")
    if isinstance(value, str):
        return cell == guarded(value)
    try:
        number = float(cell)
    except ValueError:
        return False
    if isinstance(value, int):
        return cell == str(value)
    return abs(number - value) <= max(ABSOLUTE, RELATIVE * max(abs(number), abs(value)))


def compare_flags(tally, name, where, cell, expected):
    found = cell.split(";") if cell else []
    tally.check(len(set(found)) == len(found), where + " flags", repr(cell), "each flag once")
    of = set(expected.get("of", NAMED_FLAGS))
    must, may = set(expected["must"]), set(expected["may"])
    for flag in sorted(of):
        waits = "%s.flags.%s" % (name, flag)
        if flag in must:
            tally.check(flag in found, "%s flag %s" % (where, flag), "not there", "there", waits)
        elif flag not in may:
            tally.check(flag not in found, "%s flag %s" % (where, flag), "there", "not there", waits)


def compare_header(tally, folder, name):
    path = os.path.join(folder, name + ".csv")
    with open(path, encoding="utf-8", newline="") as handle:
        header = next(csv.reader(handle))
    wanted = [c for c in COLUMNS[name].split(",") if not tally.waits("%s.%s" % (name, c))]
    known = [c for c in header if c in wanted]
    if name == "participants":
        known = [c for c in header if not tally.waits("%s.%s" % (name, c))]
    tally.check(known == wanted, name + ".csv header", ",".join(header), ",".join(wanted))


def compare_table(tally, folder, name, expected):
    rows = read(folder, name + ".csv")
    if rows is None:
        tally.check(False, name + ".csv", "not there", "%d rows" % len(expected))
        return
    compare_header(tally, folder, name)
    found = {}
    for row in rows:
        key = "|".join(row.get(column) or "" for column in KEYS[name])
        tally.check(key not in found, "%s %s" % (name, key), "two rows", "one")
        found[key] = row
    keys = {guarded(key): key for key in expected}
    for key in sorted(set(found) - set(keys)):
        tally.check(False, "%s %s" % (name, key), "a row", "none")
    for key, plain in keys.items():
        row, where = found.get(key), "%s %s" % (name, key)
        tally.check(row is not None, where, "no row", "a row")
        if row is None:
            continue
        for column, value in expected[plain].items():
            if column == "flags":
                compare_flags(tally, name, where, row.get("flags") or "", value)
                continue
            cell, waits = row.get(column), "%s.%s" % (name, column)
            same = cell is not None and agrees(cell, value)
            tally.check(same, "%s %s" % (where, column), repr(cell), repr(value), waits)
        if name == "trials":
            said = bool(row.get("check_reason"))
            tally.check(said == (row.get("check") != "good"), where + " check_reason",
                        repr(row.get("check_reason")), "a reason unless good")


def compare_day(tally, folder, path):
    with open(path, encoding="utf-8") as handle:
        oracle = json.load(handle)
    tally.name = os.path.basename(path)[: -len(".json")]
    for name in KEYS:
        compare_table(tally, folder, name, oracle[name])
    compare_refused(tally, folder, oracle)
    compare_package(tally, folder, oracle)


def main(arguments):
    without = []
    if arguments[:1] == ["--without"]:
        with open(arguments[1], encoding="utf-8") as handle:
            without = json.load(handle)["columns"]
        arguments = arguments[2:]
    if not arguments or len(arguments) % 2:
        print(__doc__.strip().splitlines()[2].strip(), file=sys.stderr)
        return 2
    tally = Tally(without)
    for folder, path in zip(arguments[::2], arguments[1::2]):
        compare_day(tally, folder, path)
    if tally.unused:
        print("agree everywhere, so no longer to be left out: %s" % ", ".join(sorted(tally.unused)))
    print("%d compared, %d different" % (tally.compared, tally.different))
    return 1 if tally.different else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
