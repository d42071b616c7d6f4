#!/usr/bin/env python3
"""Random day folders by formats.md, for testing. Everything in them is invented.

    make_days.py OUT_FOLDER KIND-SEED [KIND-SEED ...]

Each day lands in OUT_FOLDER/KIND-SEED; KIND is plain or dirty. `plain` obeys every rule while
using the latitude the contract gives (dialects, gaps, missing marks, several raters, sensors
calibrated elsewhere, what is not stated). `dirty` breaks some rules on purpose, and writes what
it broke, with file and physical line, to OUT_FOLDER/KIND-SEED.broken.json. The same seed gives
the same bytes.
"""
import json
import os
import sys

import numpy as np
from day_files import COLUMNS, Table
from make_trials import TrialMaker


class DayMaker(TrialMaker):
    def __init__(self, seed, folder, dirty):
        self.rng = rng = np.random.default_rng(seed)
        self.folder, self.dirty, self.broken = folder, dirty, []
        self.tables = {name: Table(name) for name in COLUMNS}
        self.trace_files, self.trial_facts = {}, {}
        self.pool = self.make_pool()
        self.make_sensors()
        self.cameras = [{"camera": "A", "frame_rate_hz": float(rng.choice([50, 25, 59.94, 100]))}]
        if rng.random() < 0.5:
            self.cameras.append({"camera": "B", "frame_rate_hz": float(rng.choice([120, 50]))})
        self.slow_film = rng.random() < 0.05  # nobody wrote down its frame rate
        self.unnamed_cameras = len(self.cameras) == 1 and rng.random() < 0.5
        self.trial_code = str(rng.choice(["T%02d", "-T%02d", "t.%d"], p=[0.7, 0.1, 0.2]))
        self.fixed_rate = float(rng.choice([500, 200, 1000])) if rng.random() < 0.2 else None
        self.time_unit = str(rng.choice(["s", "ms", "us"], p=[0.6, 0.25, 0.15]))
        self.names = [("time", "L", "R"), ("t [s]", "left raw", "right raw"),
                      ("Zeit", "links", "rechts"), ("t", "L, raw", "R, raw")][
            int(rng.choice(4, p=[0.5, 0.25, 0.17, 0.08]))
        ]
        self.extra_column = rng.random() < 0.3
        self.max_gap_ms = float(rng.choice([20, 30, 47]))
        self.raters = ["r1"] if rng.random() < 0.5 else ["r1", "anna.k"]
        if rng.random() < 0.2:
            self.raters = [""]
        self.section = [[10, 0], [15, 5], [7.5, 0]][int(rng.choice(3, p=[0.7, 0.2, 0.1]))]

    def stated(self, chance, **fields):
        """Each field with this chance; else it is left out, or null."""
        out = {}
        for name, value in fields.items():
            if self.rng.random() < chance:
                out[name] = value
            elif self.rng.random() < 0.4:
                out[name] = None
        return out

    # ---------------------------------------------------------------- parts

    def make_pool(self):
        rng = self.rng
        pool = {"length_m": 25, "water_temperature_c": round(float(rng.uniform(24, 30)), 1),
                "latitude_deg": round(float(rng.uniform(-60, 60)), 2),
                "altitude_m": int(rng.integers(0, 900))}
        kind = str(rng.choice(["full", "altitude_m", "latitude_deg", "water_temperature_c", "none"],
                              p=[0.6, 0.15, 0.1, 0.1, 0.05]))
        if kind == "none":
            return None
        pool.pop(kind, None)
        return pool

    def make_day(self):
        rng = self.rng
        if self.fixed_rate:
            time = {"rate_hz": self.fixed_rate}
        else:
            time = {"column": self.names[0], "unit": self.time_unit}
        low_pass = {"kind": "butterworth", "order": int(rng.choice([1, 2, 3, 4, 6, 9])),
                    "cutoff_hz": float(rng.choice([6, 10, 12, 20, 105], p=[0.24, 0.24, 0.24, 0.24, 0.04]))}
        if rng.random() < 0.2:
            low_pass = {"kind": "none"}
        accept = self.stated(0.9, min_strokes_per_hand=3, max_gap_ms=self.max_gap_ms,
                             max_saturated_fraction=0.001, max_zero_shift_kpa=0.15,
                             max_check_deviation_kpa=0.3)
        self.day = {
            "format": "lanebench-day/1",
            "day": "2026-03-14-am", "date": "2026-03-14", "venue": "invented pool",
            **({"pool": self.pool} if self.pool else {}),
            "protocol": {
                "name": "20 m sprint to the wall", "stroke": "front crawl", "run_m": 20,
                "section_from_wall_m": self.section,
                **self.stated(0.85, section_u_m=0.02),
                "section_points": {"start": "head",
                                   "end": str(rng.choice(["hand", "head"]))},
                "attempts": 2, "rest_min_s": 180,
                **self.stated(0.85, marking_u_s=float(rng.choice([0, 0.01]))),
                **self.stated(0.4, tap_offset_mm=float(rng.choice([0, 4, 25]))),
                **self.stated(0.4, speed_variation_pct=float(rng.choice([8, 12, 15.5]))),
                **({"filter": low_pass} if rng.random() < 0.97 else {}),
                "accept": accept,
            },
            "cameras": [{"camera": c["camera"]} if self.slow_film else c for c in self.cameras],
            "sensors": [
                {"sensor": s["code"], "hand": s["hand"],
                 **({"range_kpa": s["range"]} if rng.random() < 0.94 else {}),
                 "raw_unit": "count" if s["counts"] else "V",
                 **({"raw_min": 0, "raw_max": 65535 if s["counts"] else 5}
                    if rng.random() < 0.94 else {})}
                for s in self.sensors
            ],
            "trace_columns": {
                "time": time,
                "left": {"column": self.names[1], "sensor": "S-01", **self.hand_columns["left"]},
                "right": {"column": self.names[2], "sensor": "S-02", **self.hand_columns["right"]},
            },
        }
        if self.one_handed:
            del self.day["trace_columns"]["right"]

    def make_roster(self):
        rng, table = self.rng, self.tables["roster.csv"]
        self.people = []
        style = str(rng.choice(["P%02d", "sw-%d", "x.%03d", "-q%d"], p=[0.4, 0.25, 0.25, 0.1]))
        for k in range(int(rng.integers(3, 7))):
            code = style % (k + 1)
            consent = str(rng.choice(["given", "assent_and_guardian"]))
            if k and rng.random() < 0.2:
                consent = str(rng.choice(["withdrawn", "missing", ""]))
            area = float(np.round(rng.uniform(125, 190), 1))
            own = {}
            for hand in ("left", "right"):
                if rng.random() < 0.2:
                    own[hand + "_hand_area_u_cm2"] = float(np.round(rng.uniform(1, 6), 1))
                if rng.random() < 0.3:
                    own[hand + "_hand_area_method"] = str(
                        rng.choice(["traced", "typed", "estimated"]))
            for name in ("film_consent", "film_sharing_consent"):
                if rng.random() < 0.3:
                    own[name] = str(rng.choice(["given", "withheld", "not_asked"]))
            table.add(participant=code,
                      sex=str(rng.choice(["female", "male", "unspecified"])),
                      birth_year=int(rng.integers(1985, 2012)),
                      height_cm=float(np.round(rng.uniform(155, 200), 1)),
                      mass_kg=float(np.round(rng.uniform(48, 98), 1)),
                      left_hand_area_cm2=area if rng.random() > 0.1 else None,
                      right_hand_area_cm2=float(np.round(area + rng.normal(0, 3), 1))
                      if rng.random() > 0.1 else None,
                      hand_area_u_cm2=float(np.round(rng.uniform(1, 6), 1))
                      if rng.random() > 0.1 else None,
                      consent=consent,
                      note=str(rng.choice(["", "plain", 'two\nlines, and "quotes"; more'],
                                          p=[0.6, 0.2, 0.2])), **own)
            self.people.append((code, consent))

    # ---------------------------------------------------------------- all of it

    def make(self):
        rng = self.rng
        os.makedirs(os.path.join(self.folder, "traces"))
        self.make_day()
        self.make_roster()
        self.make_calibration()
        self.make_checks()
        self.make_day_zeros()
        for number in range(1, int(rng.integers(4, 9)) + 1):
            self.make_trial(number)
        if rng.random() < 0.4:
            for name in ("events.csv", "strokes.csv", "trials.csv", "zeros.csv", "sync.csv"):
                rng.shuffle(self.tables[name].rows)
        if self.dirty:
            from dirt_rules import spoil  # beside this file

            spoil(self)
        with open(os.path.join(self.folder, "day.json"), "w", encoding="utf-8") as handle:
            json.dump(self.day, handle, indent=2)
            handle.write("\n")
        for name, table in self.tables.items():
            if table.rows or name in ("roster.csv", "trials.csv"):
                table.write(self.folder, rng, self.broken)
        for file in self.trace_files.values():
            self.write_trace(file)


def make(folder, name):
    """The day KIND-SEED in folder; its path."""
    kind, seed = name.split("-")
    if kind not in ("plain", "dirty"):
        raise SystemExit("a day is called plain-SEED or dirty-SEED, not %s" % name)
    out = os.path.join(folder, name)
    if os.path.exists(out):
        raise SystemExit("%s is there already" % out)
    maker = DayMaker(int(seed), out, kind == "dirty")
    maker.make()
    if maker.dirty:
        with open(out + ".broken.json", "w", encoding="utf-8") as handle:
            json.dump(maker.broken, handle, indent=1)
            handle.write("\n")
    return out


if __name__ == "__main__":
    if len(sys.argv) < 3:
        raise SystemExit(__doc__.strip().splitlines()[2].strip())
    for wanted in sys.argv[2:]:
        make(sys.argv[1], wanted)
