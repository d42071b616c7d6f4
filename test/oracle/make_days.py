#!/usr/bin/env python3
"""Random day folders by formats.md, for testing. Everything in them is invented.

    make_days.py SEED OUT_DIR [--kind plain|dirty]

`plain` obeys every rule while using the latitude the contract gives (dialects, gaps,
missing marks, several raters). `dirty` breaks some rules on purpose, and writes what
it broke, with file and physical line, to OUT_DIR.broken.json. The same seed gives the
same bytes.
"""
import argparse
import json
import math
import os

import numpy as np
from day_files import COLUMNS, Table
from make_trials import TrialMaker

PASCAL = {"kPa": 1000.0, "Pa": 1.0, "mbar": 100.0, "cmH2O": 98.0665, "mmHg": 133.322387415,
          "psi": 6894.757293168, "m_water": 9773.0}


class DayMaker(TrialMaker):
    def __init__(self, seed, folder, dirty):
        self.rng = np.random.default_rng(seed)
        self.folder, self.dirty, self.broken = folder, dirty, []
        self.tables = {name: Table(name) for name in COLUMNS}
        self.trace_files, self.trial_facts = {}, {}
        rng = self.rng
        self.sensors = [
            self.sensor("S-01", "left"),
            self.sensor("S-02", "right"),
            self.sensor("S_03.b", "left"),
        ]
        self.spare = rng.random() < 0.5
        if not self.spare:
            self.sensors = self.sensors[:2]
        self.cameras = [{"camera": "A", "frame_rate_hz": float(rng.choice([50, 25, 59.94, 100]))}]
        if rng.random() < 0.5:
            self.cameras.append({"camera": "B", "frame_rate_hz": float(rng.choice([120, 50]))})
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

    def sensor(self, code, hand):
        rng = self.rng
        counts = rng.random() < 0.7
        sign = -1 if rng.random() < 0.15 else 1
        return {
            "code": code, "hand": hand, "counts": counts,
            "range": float(rng.choice([10, 15, 20])),
            "slope": sign * float(rng.uniform(1500, 2500) if counts else rng.uniform(0.08, 0.15)),
            "zero": float(rng.uniform(30000, 34000) if counts else rng.uniform(2.3, 2.7)),
            "noise": 6.0 if counts else 0.0004,
        }

    def raw(self, sensor, value):
        return int(round(value)) if sensor["counts"] else round(float(value), 5)

    # ---------------------------------------------------------------- parts

    def make_day(self):
        rng = self.rng
        if self.fixed_rate:
            time = {"rate_hz": self.fixed_rate}
        else:
            time = {"column": self.names[0], "unit": self.time_unit}
        order = int(rng.integers(1, 5))
        low_pass = {"kind": "butterworth", "order": order,
                    "cutoff_hz": float(rng.choice([6, 10, 12, 20]))}
        if rng.random() < 0.2:
            low_pass = {"kind": "none"}
        self.day = {
            "format": "lanebench-day/1",
            "day": "2026-03-14-am", "date": "2026-03-14", "venue": "invented pool",
            "pool": {"length_m": 25, "water_temperature_c": round(float(rng.uniform(24, 30)), 1),
                     "latitude_deg": round(float(rng.uniform(-60, 60)), 2),
                     "altitude_m": int(rng.integers(0, 900))},
            "protocol": {
                "name": "20 m sprint to the wall", "stroke": "front crawl", "run_m": 20,
                "section_from_wall_m": self.section, "section_u_m": 0.02,
                "section_points": {"start": "head",
                                   "end": str(rng.choice(["hand", "head"]))},
                "attempts": 2, "rest_min_s": 180,
                "marking_u_s": float(rng.choice([0, 0.01])),
                "filter": low_pass,
                "accept": {"min_strokes_per_hand": 3, "max_gap_ms": self.max_gap_ms,
                           "max_saturated_fraction": 0.001, "max_zero_shift_kpa": 0.15},
            },
            "cameras": self.cameras,
            "sensors": [
                {"sensor": s["code"], "hand": s["hand"], "range_kpa": s["range"],
                 "raw_unit": "count" if s["counts"] else "V",
                 "raw_min": 0, "raw_max": 65535 if s["counts"] else 5}
                for s in self.sensors
            ],
            "trace_columns": {
                "time": time,
                "left": {"column": self.names[1], "sensor": "S-01"},
                "right": {"column": self.names[2], "sensor": "S-02"},
            },
        }

    def make_calibration(self):
        rng, table = self.rng, self.tables["calibration.csv"]
        for sensor in self.sensors:
            unit = str(rng.choice(list(PASCAL)))
            levels = int(rng.integers(4, 9))
            up_only = rng.random() < 0.15
            if rng.random() < 0.15:
                levels, up_only = 2, True
            top = sensor["range"] * 1000 / PASCAL[unit]
            digits = max(0, 3 - int(math.floor(math.log10(top))))
            points = [round(top * k / (levels - 1), digits) for k in range(levels)]
            bow = rng.normal(0, 0.004) * sensor["slope"] * sensor["range"]
            step = 0
            for direction in ("up",) if up_only else ("up", "down"):
                for value in points if direction == "up" else points[::-1]:
                    step += 1
                    kpa = value * PASCAL[unit] / 1000
                    share = kpa / sensor["range"]
                    lag = 0.002 * sensor["slope"] * sensor["range"] * (direction == "down")
                    raw = (sensor["zero"] + sensor["slope"] * kpa + bow * share * (1 - share)
                           + lag * (1 - share) + rng.normal(0, sensor["noise"]))
                    table.add(sensor=sensor["code"], step=step, direction=direction,
                              applied=float(value), applied_unit=unit,
                              raw=self.raw(sensor, raw))
        if rng.random() < 0.3:
            rng.shuffle(table.rows)

    def make_roster(self):
        rng, table = self.rng, self.tables["roster.csv"]
        self.people = []
        consents = ["given", "assent_and_guardian"]
        for k in range(int(rng.integers(3, 7))):
            code = ["P%02d", "sw-%d", "x.%03d"][int(rng.integers(0, 3))] % (k + 1)
            consent = str(rng.choice(consents))
            if k and rng.random() < 0.2:
                consent = str(rng.choice(["withdrawn", "missing", ""]))
            area = float(np.round(rng.uniform(125, 190), 1))
            left = area if rng.random() > 0.12 else None
            right = float(np.round(area + rng.normal(0, 3), 1)) if rng.random() > 0.12 else None
            table.add(participant=code, sex=str(rng.choice(["female", "male", "unspecified"])),
                      birth_year=int(rng.integers(1985, 2012)),
                      height_cm=float(np.round(rng.uniform(155, 200), 1)),
                      mass_kg=float(np.round(rng.uniform(48, 98), 1)),
                      left_hand_area_cm2=left, right_hand_area_cm2=right,
                      hand_area_u_cm2=float(np.round(rng.uniform(1, 6), 1))
                      if rng.random() > 0.1 else None,
                      consent=consent,
                      note=str(rng.choice(["", "plain", 'two\nlines, and "quotes"; more'],
                                          p=[0.6, 0.2, 0.2])))
            self.people.append((code, consent))

    # ---------------------------------------------------------------- all of it

    def make(self):
        rng = self.rng
        os.makedirs(os.path.join(self.folder, "traces"))
        self.make_day()
        for sensor in self.sensors:
            sensor["drift"] = float(rng.normal(0, 0.06)) * sensor["slope"]
        self.make_roster()
        self.make_calibration()
        for number in range(1, int(rng.integers(4, 11)) + 1):
            self.make_trial(number)
        if rng.random() < 0.4:
            for name in ("events.csv", "strokes.csv", "trials.csv", "zeros.csv", "sync.csv"):
                rng.shuffle(self.tables[name].rows)
        if self.dirty:
            from dirt import spoil  # beside this file

            spoil(self)
        with open(os.path.join(self.folder, "day.json"), "w", encoding="utf-8") as handle:
            json.dump(self.day, handle, indent=2)
            handle.write("\n")
        for name, table in self.tables.items():
            if table.rows or name in ("roster.csv", "trials.csv"):
                table.write(self.folder, rng, self.broken)
        for file in self.trace_files.values():
            self.write_trace(file)


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("seed", type=int)
    parser.add_argument("out_dir")
    parser.add_argument("--kind", choices=("plain", "dirty"), default="plain")
    arguments = parser.parse_args()
    out = arguments.out_dir.rstrip("/")
    if os.path.exists(out):
        parser.error("%s is there already" % out)
    maker = DayMaker(arguments.seed, out, arguments.kind == "dirty")
    maker.make()
    if maker.dirty:
        with open(out + ".broken.json", "w", encoding="utf-8") as handle:
            json.dump(maker.broken, handle, indent=1)
            handle.write("\n")


if __name__ == "__main__":
    main()
