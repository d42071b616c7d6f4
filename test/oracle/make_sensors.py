"""The invented sensors of a day: calibrations, checks, zeros, and what the loggers give in their place."""
import math

PASCAL = {"kPa": 1000.0, "Pa": 1.0, "mbar": 100.0, "cmH2O": 98.0665, "mmHg": 133.322387415,
          "psi": 6894.757293168, "m_water": 9773.0}
NEWTON = {"N": 1.0, "lbf": 4.4482216152605}


def rounded(value, top):
    """Four significant digits of the largest value."""
    return round(float(value), max(0, 3 - int(math.floor(math.log10(abs(top))))))


class SensorMaker:
    """Part of DayMaker, which sets the fields used here."""

    def make_sensors(self):
        rng = self.rng
        self.hand_columns = {}
        for hand in ("left", "right"):
            quantity = str(rng.choice(["raw", "pressure", "force"], p=[0.8, 0.12, 0.08]))
            column = {}
            if quantity != "raw" or rng.random() < 0.1:
                column["quantity"] = quantity
            if quantity != "raw":
                units = list(NEWTON) if quantity == "force" else ["kPa", "mbar", "cmH2O", "psi", "Pa"]
                column["unit"] = str(rng.choice(units))
                if rng.random() < 0.7:
                    column["scale_u_pct"] = float(rng.choice([0.5, 1, 2.5]))
                if rng.random() < 0.5:
                    column["filter"] = bool(rng.random() < 0.6)
            self.hand_columns[hand] = column
        self.sensors = [self.sensor("S-01", "left"), self.sensor("S-02", "right"),
                        self.sensor("S_03.b", "left")]
        self.spare = rng.random() < 0.5
        if not self.spare:
            self.sensors = self.sensors[:2]
        self.one_handed = rng.random() < 0.04
        self.some_raw = any(s["quantity"] == "raw" for s in self.sensors)
        self.all_raw = all(s["quantity"] == "raw" for s in self.sensors) and not self.one_handed

    def sensor(self, code, hand):
        rng = self.rng
        column = self.hand_columns[hand]
        quantity = column.get("quantity", "raw")
        counts = quantity == "raw" and rng.random() < 0.7
        sign = -1 if rng.random() < 0.1 and quantity == "raw" else 1
        slope = sign * float(rng.uniform(1500, 2500) if counts else rng.uniform(0.08, 0.15))
        zero = float(rng.uniform(30000, 34000) if counts else rng.uniform(2.3, 2.7))
        if quantity == "pressure":
            slope = 1000 / PASCAL[column["unit"]]
            zero = float(rng.normal(0, 0.1)) * slope
        if quantity == "force":
            slope = 15 / NEWTON[column["unit"]]
            zero = float(rng.normal(0, 0.1)) * slope
        return {"code": code, "hand": hand, "counts": counts, "quantity": quantity,
                "range": float(rng.choice([10, 15, 20])), "slope": slope, "zero": zero,
                "drift": float(rng.normal(0, 0.06)) * slope,
                "noise": 6.0 if counts else 0.0004 if quantity == "raw" else 0.002 * slope}

    def raw(self, sensor, value):
        return int(round(value)) if sensor["counts"] else round(float(value), 5)

    def units(self):
        """Units that can be used: a depth of water needs the pool's temperature and latitude."""
        deep = {"latitude_deg", "water_temperature_c"} <= set(self.pool or {})
        return [unit for unit in PASCAL if unit != "m_water" or deep or self.dirty]

    def make_calibration(self):
        rng, table = self.rng, self.tables["calibration.csv"]
        for sensor in self.sensors:
            if sensor["quantity"] != "raw" and rng.random() < 0.8 or rng.random() < 0.03:
                continue
            self.calibrate(table, sensor)
        if rng.random() < 0.3:
            rng.shuffle(table.rows)

    def calibrate(self, table, sensor):
        rng = self.rng
        unit = str(rng.choice(self.units()))
        levels, ways = int(rng.integers(4, 9)), ("up", "down")
        kind = str(rng.choice(["both", "up only", "two", "two, twice", "three"],
                              p=[0.65, 0.1, 0.1, 0.1, 0.05]))
        if kind in ("up only", "two"):
            ways = ("up",)
        if kind.startswith("two"):
            levels = 2
        if kind == "three":
            levels, ways = 3, ("up",)
        top = sensor["range"] * 1000 / PASCAL[unit] * (0.35 if rng.random() < 0.12 else 1)
        points = [rounded(top * k / (levels - 1), top) for k in range(levels)]
        bow = rng.normal(0, 0.004 if rng.random() < 0.8 else 0.03) * sensor["slope"] * sensor["range"]
        reference = {}
        if rng.random() < 0.5:
            reference["reference_scale_u_pct"] = float(rng.choice([0.05, 0.2, 0.5]))
        if rng.random() < 0.4:
            reference["reference_zero_u"] = rounded(top * 0.002, top * 0.002)
        nearly = rng.random() < 0.05  # one pressure, printed with a last digit too many
        step = 0
        for way in ways:
            for value in points if way == "up" else points[::-1]:
                step += 1
                kpa = value * PASCAL[unit] / 1000
                share = kpa / sensor["range"]
                lag = 0.002 * sensor["slope"] * sensor["range"] * (way == "down")
                raw = (sensor["zero"] + sensor["slope"] * kpa + bow * share * (1 - share)
                       + lag * (1 - share) + rng.normal(0, sensor["noise"]))
                own = dict(reference) if rng.random() < 0.9 else {}
                table.add(sensor=sensor["code"], step=step, direction=way,
                          applied=float(value) * (1 + 3e-10 * (nearly and way == "down")),
                          applied_unit=unit, raw=self.raw(sensor, raw), **own)

    def make_checks(self):
        rng, table = self.rng, self.tables["checks.csv"]
        if rng.random() < 0.4:
            return
        for sensor in self.sensors:
            if rng.random() < 0.15:
                continue
            unit = str(rng.choice(self.units()))
            factor = PASCAL[unit] / 1000
            off = float(rng.normal(0, 0.08 if rng.random() < 0.8 else 0.5))
            for when in ("start", "end"):
                if rng.random() < 0.2:
                    continue
                zero = sensor["zero"] + rng.normal(0, 0.03) * sensor["slope"]
                if rng.random() < 0.6:
                    table.add(sensor=sensor["code"], when=when, applied=0.0, applied_unit=unit,
                              raw=self.raw(sensor, zero))
                for kpa in [[5.0], [4.0, 8.0], []][int(rng.choice(3, p=[0.6, 0.35, 0.05]))]:
                    applied = rounded(kpa / factor, kpa / factor)
                    table.add(sensor=sensor["code"], when=when, applied=applied, applied_unit=unit,
                              raw=self.raw(sensor, zero + sensor["slope"] * (kpa + off)))
                if rng.random() < 0.1 and self.dirty and table.rows:
                    # Said twice: the first counts.
                    table.rows.append(dict(table.rows[-1], raw=self.raw(sensor, zero)))

    def make_zeros(self, code, sensor):
        kind = str(self.rng.choice(["both", "before", "after", "none"], p=[0.55, 0.17, 0.1, 0.18]))
        self.add_zeros(code, sensor, kind)

    def make_day_zeros(self):
        for sensor in self.sensors:
            if self.rng.random() < 0.35:
                kind = str(self.rng.choice(["both", "before", "after"], p=[0.6, 0.25, 0.15]))
                self.add_zeros("", sensor, kind)

    def add_zeros(self, code, sensor, kind):
        rng = self.rng
        for when in ("before", "after"):
            if kind in ("both", when):
                shift = 0 if when == "before" else (
                    sensor["drift"] + rng.normal(0, 0.05) * sensor["slope"])
                self.tables["zeros.csv"].add(
                    sensor=sensor["code"], trial=code, when=when,
                    raw=self.raw(sensor, sensor["zero"] + shift))
